"""The workbench: the studio's own folder as pages in the browser, served on this machine alone.

The way of a request: `guard` (who may ask, how much, from where) → `app` (which view) → a view of a module `routes_*` → `pages` (templates).
A view is a plain function ``view(bench, asked) -> Response``; it runs in a thread, so it may take its time. `asked` holds the name in the
address, the query and the form, all of them texts with bounds. `bench` is the folder and what was worked out from its files.

To add a page: write a module ``routes_<what>.py`` that exports `ROUTES`, add it to `app.MODULES`
(and to `pages.NAV`, for a line in the head of every page), put its template into ``templates/``. What a form names is looked for among the files of `folder.Studio`; no path is ever made
from a form. A page that runs a verb of the command line does it by `glazecalc.cli.collect.collected`.

A verb's form is made of its options (`fields`), in an order that `jobs` says; `asking` makes a call of what was filled in. `bag` is the sheet of a new bag,
`lan` lets a phone read.
"""
