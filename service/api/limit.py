"""Caps the size of request bodies, counted as they come in; plain ASGI."""

from __future__ import annotations

import json

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.errors import PROBLEM_JSON, problem


class _TooMuch(Exception):
    """More came than a body may hold."""


class BodyLimit:
    """Answers 413 to a body that is larger than it may be, whatever its headers say.

    Parameters
    ----------
    app : ASGI application
    largest : int
        Bytes.
    """

    def __init__(self, app: ASGIApp, largest: int) -> None:
        self.app = app
        self.largest = largest

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, counting its body."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = dict(scope["headers"])
        length = headers.get(b"content-length", b"0")
        if length.isdigit() and int(length) > self.largest:
            await self._refuse(scope, send)
            return
        seen = 0
        is_begun = is_refused = False

        async def counted() -> Message:
            nonlocal seen, is_refused
            message = await receive()
            seen += len(message.get("body", b""))
            if seen > self.largest:
                if not is_begun and not is_refused:
                    is_refused = True
                    await self._refuse(scope, send)
                raise _TooMuch
            return message

        async def noted(message: Message) -> None:
            nonlocal is_begun
            if is_refused:
                # Whatever the application makes of the broken body, the answer is given.
                return
            is_begun = True
            await send(message)

        try:
            await self.app(scope, counted, noted)
        except Exception:
            if not is_refused:
                raise

    async def _refuse(self, scope: Scope, send: Send) -> None:
        found = problem(
            status=413,
            code="too-large",
            detail=f"expected a body of at most {self.largest:,} bytes; more came: send less",
        )
        body = json.dumps({**found, "instance": scope["path"]}).encode()
        headers = [
            (b"content-type", PROBLEM_JSON.encode()),
            (b"content-length", str(len(body)).encode()),
            (b"connection", b"close"),
        ]
        await send({"type": "http.response.start", "status": 413, "headers": headers})
        await send({"type": "http.response.body", "body": body})
