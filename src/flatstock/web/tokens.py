"""A form that changes something carries its session's token; any other page's form does not know it."""

from __future__ import annotations

from hmac import compare_digest

from fastapi import Request
from starlette.exceptions import HTTPException

from flatstock.web.access.door import DESK, Visitor

__all__ = ["sent_by_own_page"]


async def sent_by_own_page(request: Request) -> None:
    """Raises 403 where the token is missing or another one.

    A program on the machine itself that keeps no cookie has no session that could be misused.
    """
    visitor: Visitor = request.state.visitor
    if request.method in ("GET", "HEAD", "OPTIONS") or request.url.path == "/pair":
        return  # a pairing code is a secret that no other page knows either
    if visitor.here and DESK not in request.cookies and "origin" not in request.headers:
        return
    said = request.headers.get("x-token")
    if said is None and "form" in request.headers.get("content-type", ""):
        found = (await request.form()).get("token")
        said = found if isinstance(found, str) else None
    if not said or not compare_digest(said, request.state.token):
        raise HTTPException(403, "this page is too old, or another page sent this: open the page again")
