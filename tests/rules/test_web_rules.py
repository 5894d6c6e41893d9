"""Rules for the pages that no linter at hand knows."""

from __future__ import annotations

import hashlib
import re
import tomllib
from pathlib import Path
from typing import Final

import pytest

from tests.rules.sources import CHECKOUT, at

WEB: Final = CHECKOUT / "web"
LONGEST_FILE: Final = 400
LONGEST_LINE: Final = 120
LAYERS: Final = (
    "views",
    "parts",
    "photo readings",
    "drawing",
    "page",
    "api.js state",
    "geometry",
    "first.js types.js",
)
IMPORT: Final = re.compile(
    r"^\s*(?:import|export)\b[^;]*?from\s+'([^']+)'|^\s*import\s+'([^']+)'", re.M
)
DYNAMIC_IMPORT: Final = re.compile(r"\bimport\((?!'\./|'\.\./)[^)]*\)")
REACHES_OUT: Final = re.compile(r"\b(fetch\(|XMLHttpRequest|EventSource|WebSocket|sendBeacon)")
MARKUP: Final = re.compile(
    r"\b(innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|new Function)"
)
DOM: Final = re.compile(r"\b(document|window|globalThis|localStorage|navigator|HTMLElement)\b")
INLINE: Final = re.compile(r"<style\b|\sstyle=|\son[a-z]+=|<script(?![^>]*\bsrc=)", re.I)


def scripts(folder: str = "js") -> list[Path]:
    return sorted((WEB / folder).rglob("*.js"))


def code(path: Path) -> str:
    """The file without its comments, line for line."""
    text = path.read_text(encoding="utf-8")
    blank = re.sub(r"/\*.*?\*/", lambda found: "\n" * found.group().count("\n"), text, flags=re.S)
    return re.sub(r"(?m)(?<![:'\"`])//.*$", "", blank)


def imported(path: Path) -> list[str]:
    return [first or second for first, second in IMPORT.findall(code(path))]


def layer(path: Path) -> int:
    top = path.relative_to(WEB / "js").parts[0]
    return next(place for place, names in enumerate(LAYERS) if top in names.split())


def lines_with(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    return [
        at(path, number)
        for path in paths
        for number, line in enumerate(code(path).splitlines(), 1)
        if pattern.search(line)
    ]


def unended(text: str) -> list[str]:
    """Listeners that nothing takes away again."""
    calls = re.findall(r"addEventListener\(((?:[^()]|\((?:[^()]|\([^()]*\))*\))*)\)", text)
    return [
        call
        for call in calls
        if "signal" not in call
        and "once: true" not in call
        and f"removeEventListener({call.split(',')[0]}" not in text
    ]


def test_imports_are_relative_and_exist() -> None:
    """No build step stands between a file and the browser: every import is a path to a file."""
    found = [
        f"{at(path, 1)} {name}"
        for path in scripts()
        for name in imported(path)
        if not name.startswith(".") or not (path.parent / name).resolve().is_file()
    ]

    assert found == []
    assert lines_with(DYNAMIC_IMPORT, scripts()) == []


def test_layers_hold() -> None:
    """A module imports from its own layer or one below it."""
    found = [
        f"{at(path, 1)} {name}"
        for path in scripts()
        for name in imported(path)
        if layer((path.parent / name).resolve()) < layer(path)
    ]

    assert found == []


def test_views_stand_alone() -> None:
    """A page's module is started by its page only; what two pages share is a part."""
    found = [
        f"{at(path, 1)} {name}"
        for path in scripts("js/views")
        for name in imported(path)
        if layer((path.parent / name).resolve()) == 0
    ]

    assert found == []


def test_one_module_reaches_out() -> None:
    """Who makes a change, and the key that makes it happen once, are added in one place."""
    others = [path for path in scripts() if path.name != "api.js"]

    assert lines_with(REACHES_OUT, others) == []


def test_text_is_never_markup() -> None:
    """Names that people type go into the page as text."""
    assert lines_with(MARKUP, scripts()) == []


def test_geometry_is_pure() -> None:
    """What computes where things lie runs without a page."""
    assert lines_with(DOM, scripts("js/geometry")) == []


def test_state_draws_nothing() -> None:
    """What is remembered or sent knows nothing of how it is shown."""
    assert lines_with(re.compile(r"\b(document|HTMLElement)\b"), scripts("js/state")) == []


def test_marks_are_set_by_pointer_position() -> None:
    """A click has whole screen pixels; a mark is set from a pointer event, with its fraction."""
    assert (
        lines_with(re.compile(r"'click'|'mouse(down|up|move)'|'touch\w+'"), scripts("js/photo"))
        == []
    )


@pytest.mark.parametrize("path", scripts(), ids=lambda path: str(path.relative_to(WEB)))
def test_listeners_end(path: Path) -> None:
    """Every listener is taken away: by its signal, by itself, or by name."""
    assert unended(code(path)) == []


def test_files_are_short() -> None:
    """A file is one idea, and a line is read at one sight."""
    found = []
    for path in [*scripts(), *sorted((WEB / "css").glob("*.css"))]:
        lines = path.read_text(encoding="utf-8").splitlines()
        found += [f"{at(path, 1)} {len(lines)} lines"] if len(lines) > LONGEST_FILE else []
        found += [at(path, n) for n, line in enumerate(lines, 1) if len(line) > LONGEST_LINE]

    assert found == []


@pytest.mark.parametrize("page", sorted(WEB.glob("*.html")), ids=lambda page: page.name)
def test_pages_hold_no_code(page: Path) -> None:
    """The content security policy lets no script or style run from within a page."""
    text = page.read_text(encoding="utf-8")

    assert INLINE.findall(text) == []
    assert '<html lang="en">' in text
    assert "user-scalable" not in text
    assert "maximum-scale" not in text


@pytest.mark.parametrize("page", sorted(WEB.glob("*.html")), ids=lambda page: page.name)
def test_pages_load_only_what_is_here(page: Path) -> None:
    """A page works with no network but the service."""
    text = page.read_text(encoding="utf-8")
    loaded = re.findall(r'<(?:link|script|img)\b[^>]*?(?:href|src)="([^"]+)"', text)
    missing = [name for name in loaded if not (WEB / name.removeprefix("/static/")).is_file()]

    assert loaded
    assert missing == []


def test_vendored_files_are_as_registered() -> None:
    """Third-party files are whole, unchanged, and have their licence beside them."""
    register = tomllib.loads((WEB / "vendor/VERSIONS.toml").read_text(encoding="utf-8"))
    listed = {
        name for entry in register.values() for name in (*entry["files"], entry["licence_file"])
    }
    there = {
        str(path.relative_to(WEB / "vendor"))
        for path in (WEB / "vendor").rglob("*")
        if path.is_file() and path.name != "VERSIONS.toml"
    }

    assert there == listed
    for entry in register.values():
        digest = hashlib.sha256((WEB / "vendor" / entry["files"][0]).read_bytes()).hexdigest()
        assert digest == entry["sha256"]


def test_rules_can_fail(tmp_path: Path) -> None:
    """The rules see what they are to see."""
    path = tmp_path / "bad.js"
    path.write_text(
        "import a from 'left-pad'; // fetch(\nx.addEventListener('click', f);\n"
        "y.addEventListener('click', g, { signal });\nfetch('/');\nz.innerHTML = '';\n"
    )

    assert imported(path) == ["left-pad"]
    assert unended(code(path)) == ["'click', f"]
    assert REACHES_OUT.findall(code(path)) == ["fetch("]
    assert MARKUP.search(code(path))
    assert INLINE.findall('<p style="x"><script>') == [" style=", "<script"]
