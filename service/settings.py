"""What the service is told from outside, read once and passed on as a value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Final

from service.errors import FileError
from service.loopback import is_loopback
from service.product import ENVIRONMENT_PREFIX

CHECKOUT: Final = Path(__file__).resolve().parents[1]
DEFAULT_PORT: Final = 8642


@dataclass(frozen=True)
class Settings:
    """Where the service keeps things and what it takes.

    Attributes
    ----------
    data_folder
        Database, photos and unfinished uploads; made if it is missing. On a local disk: SQLite's
        write-ahead log does not work on a network share.
    host, port
        Address to listen on. Only a loopback address is taken: there is no sign-in.
    web_folder, example_folder
        The pages, and the example job's files.
    child_memory_bytes, child_cpu_s, child_wall_s
        What one photo may cost the process that decodes it.
    shop
        What the shop calls itself, beside its field truth; one data folder is one shop.
    spare_kept_s
        How long bytes are kept that nothing refers to: an upload nobody finished, pictures that
        newer code has made anew.
    """

    data_folder: Path = Path(".tapeproof")
    host: str = "127.0.0.1"
    port: int = DEFAULT_PORT
    web_folder: Path = CHECKOUT / "web"
    example_folder: Path = CHECKOUT / "fixtures" / "example"
    shop: str = ""
    child_memory_bytes: int = 3 * 1024**3
    child_cpu_s: int = 60
    child_wall_s: int = 90
    spare_kept_s: int = 7 * 24 * 3600

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.data_folder / "tapeproof.sqlite3"

    def __post_init__(self) -> None:
        if not is_loopback(self.host):
            raise FileError(
                f"{ENVIRONMENT_PREFIX}HOST",
                "",
                f"expected a loopback address such as 127.0.0.1, not {self.host!r}: there is no "
                "sign-in, so nobody but this machine may reach it",
            )
        if not 0 <= self.port <= 65535:
            expected = f"expected a port from 0 to 65535, not {self.port}"
            raise FileError(f"{ENVIRONMENT_PREFIX}PORT", "", expected)


def settings_from(environment: Mapping[str, str], **given: Path | str | int | None) -> Settings:
    """Settings from ``TAPEPROOF_...`` variables; a value that is given wins over its variable.

    Raises
    ------
    FileError
        Naming the variable and what was expected in it.
    """
    variables = {
        field.name: f"{ENVIRONMENT_PREFIX}{field.name.upper()}" for field in fields(Settings)
    }
    _refuse_unknown(environment, {*variables.values(), f"{ENVIRONMENT_PREFIX}TRACE"})
    values: dict[str, Path | str | int] = {}
    for field in fields(Settings):
        variable = variables[field.name]
        if (value := given.get(field.name)) is not None:
            values[field.name] = value
        elif (text := environment.get(variable)) is not None:
            values[field.name] = _value(variable, text, field.default)
    return Settings(**values)  # type: ignore[arg-type]


def _refuse_unknown(environment: Mapping[str, str], known: set[str]) -> None:
    """A variable misspelt would leave jobs and photos in another folder than was meant."""
    for variable in sorted(environment):
        if variable.startswith(ENVIRONMENT_PREFIX) and variable not in known:
            expected = f"is no setting; expected one of {', '.join(sorted(known))}"
            raise FileError(variable, "", expected)


def _value(variable: str, text: str, default: object) -> Path | str | int:
    if isinstance(default, Path):
        if not text:
            raise FileError(variable, "", "expected the path of a folder, and it is empty")
        return Path(text)
    if isinstance(default, str):
        return text
    try:
        number = int(text)
    except ValueError:
        raise FileError(variable, "", f"expected a whole number, not {text!r}") from None
    if number < 0:
        raise FileError(variable, "", f"expected 0 or more, not {number}")
    return number
