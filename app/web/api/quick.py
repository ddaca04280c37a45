"""Acts read by hand: described by their signature like any operation, but without the framework's way in.

That way is made for every kind of parameter there is; for a tap it takes longer than deciding on it and
recording it together. `python -m tests.bench` shows what a tap costs.
"""

from collections.abc import Awaitable, Callable
from inspect import iscoroutinefunction
from typing import Any, get_type_hints

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ValidationError

Handler = Callable[[Request], Awaitable[Response]]
Reader = Callable[[Request], Any]


def quick_handler(act: Callable[..., Any], readers: dict[type, Reader]) -> Handler | None:
    """Return what answers a request to an act, or none where the act is not of the simple kind.

    Simple is one that answers itself, and takes nothing but what `readers` can read from a request, texts
    and whole numbers of the path, and one body.
    """
    hints = get_type_hints(act)
    answers_itself = iscoroutinefunction(act) and hints.pop("return", None) is Response
    given = {name: _reader(name, kind, readers) for name, kind in hints.items() if not _is_body(kind)}
    bodies = [(name, kind) for name, kind in hints.items() if _is_body(kind)]
    if not answers_itself or None in given.values() or len(bodies) != 1:
        return None
    return _handler(act, given, *bodies[0])


def _handler(act: Callable[..., Any], given: dict[str, Any], body: str, kind: type[BaseModel]) -> Handler:
    async def handle(request: Request) -> Response:
        values = {name: read(request) for name, read in given.items()}
        values[body] = _read_body(kind, await request.body())
        answer: Response = await act(**values)
        return answer

    return handle


def _reader(name: str, kind: Any, readers: dict[type, Reader]) -> Reader | None:
    if kind is str:
        return lambda request: request.path_params[name]
    if kind is int:
        return lambda request: _whole_number(name, request.path_params[name])
    return readers.get(kind)


def _is_body(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _read_body(kind: type[BaseModel], text: bytes) -> BaseModel:
    try:
        return kind.model_validate_json(text)
    except ValidationError as error:
        found = error.errors(include_url=False, include_context=False)
        raise RequestValidationError([{**item, "loc": ("body", *item["loc"])} for item in found]) from None


def _whole_number(name: str, text: str) -> int:
    try:
        return int(text)
    except ValueError:
        wanted = {"type": "int_parsing", "loc": ("path", name), "msg": "Input should be a whole number"}
        raise RequestValidationError([wanted]) from None
