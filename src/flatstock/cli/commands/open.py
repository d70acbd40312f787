"""`flatstock open`: the app on a workshop, in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Now
from flatstock.errors import Fault, WrongWords

__all__ = ["open_app"]


def open_app(
    folder: Annotated[
        Path,
        Parameter(name="FOLDER", help="The workshop: a folder of files; an empty one starts a new workshop."),
    ],
    /,
    *,
    port: Annotated[
        int | None, Parameter(metavar="N", help="Where the app listens; else 8765, or the next that is free.")
    ] = None,
    no_browser: Annotated[bool, Parameter(help="Only say the address; open no browser.")] = False,
    serve_shop: Annotated[
        bool,
        Parameter(help="Listen to tablets and phones of the shop's network too; each is paired by a code."),
    ] = False,
    certificate: Annotated[
        Path | None, Parameter(metavar="FILE", help="Of your own, for https; with --key.")
    ] = None,
    key: Annotated[Path | None, Parameter(metavar="FILE", help="Of the certificate.")] = None,
    now: Now = None,
) -> None:
    """Run the app for a workshop: today's board, week, cards, stack, stock, set-up. Ctrl-C ends it."""
    if port is not None and not 0 < port < 65536:
        raise WrongWords(Fault("--port", f"{port} is no port", "write 1 to 65535"))
    if (certificate is None) != (key is None):
        raise WrongWords(
            Fault("--certificate", "a certificate and its key go together", "name both, or neither")
        )
    for file in (certificate, key):
        if file is not None and not file.is_file():
            raise WrongWords(Fault("--certificate", f"there is no file {file}", "name the file"))

    from flatstock.actions.compiling import compile_first
    from flatstock.cli.opening import starting_up, tell_of_records

    compile_first(show.aside)  # the pages can't be imported before
    from flatstock.web.access.keys import Keys
    from flatstock.web.serving import serve
    from flatstock.web.workplace import Workplace

    place = Workplace(folder.absolute(), now_is=starting_up(folder, now)[1] if now else None)
    tell_of_records(place)
    own = (certificate, key) if certificate is not None and key is not None else None
    beyond = serve_shop or Keys(folder).serves_the_shop
    serve(place, port=port, beyond=beyond, browser=not no_browser, certificate=own, say=show.text)
