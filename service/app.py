"""The application, assembled from its settings."""

from __future__ import annotations

import fcntl
import hashlib
import os
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, Final

from fastapi import APIRouter, FastAPI
from fastapi.exceptions import RequestValidationError
from fastapi.openapi.utils import get_openapi
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp

from service.actions.collect_blobs import SpareBytes
from service.actions.look_at_photo import look_in_child
from service.actions.look_closer import PhotoAsker, answer_in_child
from service.actions.measure import WallReports
from service.actions.plan import CutSizes
from service.blobs.local import LocalBlobs, LocalUploads
from service.errors import FileError, ServiceError
from service.files.api.answers import Problem
from service.jobs.limited_process import LimitedProcess, Limits
from service.product import COMMAND, NAME
from service.routes import (
    checks,
    example,
    jobs,
    lenses,
    outlines,
    pages,
    photos,
    plans,
    program,
    releases,
    uploads,
    walls,
)
from service.routes.edge.bodies import ASKED, TEMPLATE
from service.routes.edge.guard import Guard
from service.routes.edge.problems import on_fault, on_http_error, on_invalid, on_service_error
from service.routes.edge.tools import Tools
from service.settings import CHECKOUT, Settings
from service.store.engine import open_engine
from service.store.migrations import upgrade
from service.store.rows import Acting
from service.store.sql_store import SqlStore
from service.worker import Worker

_API: Final = (
    jobs,
    walls,
    checks,
    photos,
    uploads,
    lenses,
    outlines,
    plans,
    releases,
    example,
    program,
)
_LOOKS: Final = ("vision/card", "vision/photo", "vision/quality", "vision/measure_wall")
"""Code whose change may give another sight of the same photo."""
_MEASURES: Final = (
    "vision",
    *(f"service/{name}" for name in ("measuring", "lengths", "files", "actions/measure")),
)
_QUESTIONS_A_PROCESS: Final = 2000
"""A photo stays decoded in the process that answers, so that it is not often a fresh one."""
_LIBRARIES: Final = ("numpy", "scipy", "opencv-python-headless", "pillow", "pillow-heif")


def create_app(settings: Settings) -> FastAPI:
    """The application; nothing is opened before it is started.

    Its data folder is held by one process at a time.
    """

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        with _Held(settings.data_folder):
            tools, worker, store, questions = _assembled(settings)
            app.state.tools = tools
            worker.start()
            try:
                yield
            finally:
                worker.stop()
                questions.close()
                store.close()

    app = _Guarded(
        title=NAME,
        version=version(COMMAND),
        description="Wall sizes from phone photos, proved by tape, turned into panels. A photo "
        "estimate is never a cutting dimension.",
        lifespan=lifespan,
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        separate_input_output_schemas=False,
    )
    api = APIRouter(prefix="/api")
    for module in _API:
        api.include_router(module.router)
    app.include_router(api)
    app.include_router(pages.router)
    app.add_exception_handler(ServiceError, pages.or_missing_page(on_service_error))
    app.add_exception_handler(HTTPException, pages.or_missing_page(on_http_error))
    app.add_exception_handler(RequestValidationError, on_invalid)
    app.add_exception_handler(Exception, on_fault)
    app.openapi = lambda: _openapi(app)  # type: ignore[method-assign]
    return app


class _Guarded(FastAPI):
    """With the guard outermost: an answer to a fault of the program carries its headers too."""

    def build_middleware_stack(self) -> ASGIApp:
        return Guard(super().build_middleware_stack())


def check_data_folder(settings: Settings) -> None:
    """Refuse a data folder that cannot be used, before anything is served from it.

    Raises
    ------
    FileError
        If it is in use, cannot be written, or was written by a newer version.
    """
    with _Held(settings.data_folder):
        upgrade(settings.database)


def _assembled(settings: Settings) -> tuple[Tools, Worker, SqlStore, LimitedProcess]:
    folder = settings.data_folder
    upgrade(settings.database)
    store = SqlStore(open_engine(settings.database), look_version())
    blobs = LocalBlobs(folder / "blobs")
    uploads_folder = LocalUploads(folder / "uploads")
    reports = WallReports(code_fingerprint(_MEASURES))
    limits = Limits(settings.child_memory_bytes, settings.child_cpu_s, settings.child_wall_s)
    spare = SpareBytes(store, blobs, settings.spare_kept_s)

    def afterwards(acting: Acting) -> None:
        reports.save(store, acting)
        spare.collect_now_and_then()

    worker = Worker(
        store,
        blobs,
        uploads_folder,
        LimitedProcess(look_in_child, limits),
        folder / "scratch",
        afterwards,
    )
    questions = LimitedProcess(answer_in_child, limits, _QUESTIONS_A_PROCESS)
    tools = Tools(
        store=store,
        blobs=blobs,
        uploads=uploads_folder,
        reports=reports,
        cut_sizes=CutSizes(),
        asker=PhotoAsker(blobs, questions),
        wake=worker.wake,
        example_folder=settings.example_folder,
        web_folder=settings.web_folder,
        shop=settings.shop,
    )
    return tools, worker, store, questions


def look_version() -> int:
    """Version of what looks at photos: sights that other code kept are made anew."""
    return int(code_fingerprint(_LOOKS)[:7], 16)


def code_fingerprint(folders: Sequence[str]) -> str:
    """Hash of the code in the folders, and of the libraries that it reckons with."""
    digest = hashlib.sha256()
    for library in _LIBRARIES:
        digest.update(f"{library} {_version(library)}\n".encode())
    for folder in folders:
        for path in sorted((CHECKOUT / folder).rglob("*.py")):
            digest.update(path.read_bytes())
    return digest.hexdigest()


def _version(library: str) -> str:
    """Of an extra that is not installed, none: photos that it reads are looked at once it is."""
    try:
        return version(library)
    except PackageNotFoundError:
        return "none"


class _Held:
    """Holds the data folder for this process, made if it is missing."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._handle = -1

    def __enter__(self) -> None:
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            self._handle = os.open(self._folder / "lock", os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as error:
            raise FileError(str(self._folder), "", f"cannot be used: {error.strerror}") from None
        try:
            fcntl.flock(self._handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            os.close(self._handle)
            expected = "is in use by another run of the service; stop it, or name another folder"
            raise FileError(str(self._folder), "", expected) from None

    def __exit__(self, *_error: object) -> None:
        os.close(self._handle)  # which lets go of the lock


def _openapi(app: FastAPI) -> dict[str, Any]:
    if app.openapi_schema is None:
        schema = get_openapi(
            title=app.title,
            version=app.version,
            description=app.description,
            routes=app.routes,
            separate_input_output_schemas=False,
        )
        components = schema.setdefault("components", {}).setdefault("schemas", {})
        problem = Problem.model_json_schema(ref_template=TEMPLATE)
        for name, body in {**ASKED, "Problem": problem}.items():
            components.setdefault(name, body)
        app.openapi_schema = schema
    return app.openapi_schema
