"""What the program is made of.

``python -m tests.supply sbom`` prints a bill of materials, ``lower-bounds`` the oldest versions for pip, and ``audited FILE`` judges what
pip-audit wrote as JSON: a package that the advisory service does not know was not audited, and that is said.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.supply.bill import advisories, bill_of_materials, lower_bounds


def main(words: list[str]) -> int:
    """Do what the words say; exit 1 where a package that the program needs has an advisory."""
    match words:
        case ["sbom"]:
            print(json.dumps(bill_of_materials(), indent=2))
        case ["lower-bounds"]:
            print("\n".join(lower_bounds()))
        case ["audited", file]:
            found, said = advisories(json.loads(Path(file).read_text(encoding="utf-8")))
            print(said)
            return 1 if found else 0
        case _:
            print(__doc__)
            return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
