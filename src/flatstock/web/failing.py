"""What a page says when it can't answer: always words, never a traceback."""

from __future__ import annotations

import logging
from html import escape
from uuid import uuid4

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from flatstock.errors import Fault, OutOfRange, Refused, UserError
from flatstock.web.page import place_of, show, wants_part

__all__ = ["answer_failures"]

_log = logging.getLogger("flatstock.web")


def answer_failures(app: FastAPI) -> None:
    """Add what is answered to each kind of failure."""

    @app.exception_handler(UserError)
    def refused(request: Request, error: UserError) -> Response:
        return _faults(request, error.faults, 422)

    @app.exception_handler(OutOfRange)
    def outside(request: Request, error: OutOfRange) -> Response:
        fault = Fault(
            "", f"this lies outside what the model holds for: {error}", "ask for something nearer to usual"
        )
        return _faults(request, (fault,), 422)

    @app.exception_handler(RequestValidationError)
    def malformed(request: Request, error: RequestValidationError) -> Response:
        faults = [Fault(str(one["loc"][-1]), str(one["msg"]), "") for one in error.errors()]
        return _faults(request, tuple(faults), 422)

    @app.exception_handler(HTTPException)
    def http(request: Request, error: HTTPException) -> Response:
        words = {404: "there is no such page", 405: "that can't be done with this address"}
        what = words.get(error.status_code, str(error.detail))
        return _faults(request, (Fault("", what, "the row at the top has every page"),), error.status_code)

    @app.exception_handler(Exception)
    def unforeseen(request: Request, error: Exception) -> Response:
        mark = uuid4().hex[:8]
        _log.exception("%s %s failed, mark %s", request.method, request.url.path, mark, exc_info=error)
        return PlainTextResponse(
            f"flatstock came upon something that it should have foreseen ({type(error).__name__}); its log has the"
            f" mark {mark}. Nothing was written by this request.",
            status_code=500,
        )


def _faults(request: Request, faults: tuple[Fault, ...], status: int) -> Response:
    if not place_of(request).started and status != 404 and not request.url.path.startswith("/start"):
        return RedirectResponse("/start", 303)  # nothing can be answered before there is a workshop
    template = "refused_part.html" if wants_part(request) else "refused.html"
    try:
        said = tuple(map(place_of(request).shown().fault, faults))
        return show(request, template, status=status, faults=said)
    except Refused as error:  # the workshop's own files can't be read: the frame of the page needs them
        lines = "".join(f"<li>{escape(one.sentence())}</li>" for one in error.faults)
        return HTMLResponse(
            '<!doctype html><html lang="en"><meta charset="utf-8"><title>Faults in the files</title><main>'
            f"<h1>The workshop's files have faults</h1><ul>{lines}</ul>"
            "<p><a href='/shop/files'>Mend them</a></p></main></html>",
            status_code=422,
        )
