"""``python -m glazecalc``."""

from glazecalc.cli.main import main

main()
