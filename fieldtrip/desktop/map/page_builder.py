"""The files that make the map page.

folium writes the frame of the page once; it is kept on disk, because to import
folium takes longer than everything else that starting needs.  Inline scripts and
styles are moved to files of their own, so that the page's content security policy
can forbid them.
"""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path

from fieldtrip.desktop.map.scheme import BASE, SCHEME
from fieldtrip.desktop.theme import DARK, LIGHT, Theme
from fieldtrip.files import own_folder

POLICY = (
    f"default-src 'none'; script-src {SCHEME}:; style-src {SCHEME}:; "
    f"img-src {SCHEME}:; connect-src 'none'; object-src 'none'; frame-src 'none'; "
    "base-uri 'none'; form-action 'none'"
)
_OWN = own_folder("resources") / "map"
_TYPES = {".js": "text/javascript", ".css": "text/css", ".html": "text/html"}
_SCRIPT = re.compile(r"<script>(.*?)</script>", re.DOTALL)
_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Frame:
    """What folium wrote, with scripts and styles taken out of the markup."""

    head: str  # links to Leaflet
    body: str  # the element that holds the map
    style: str
    early_script: str  # before Leaflet is loaded
    script: str  # makes the map and leaves it in `window.fieldtripMap`


@dataclass(frozen=True, slots=True)
class PageFile:
    """One file of the page, as the scheme handler gives it out."""

    content_type: str
    data: bytes


def page_files(cache_folder: Path) -> Mapping[str, PageFile]:
    """Every file of the page by its path, such as ``/index.html``.

    This is also the list of what may be asked for.  The web channel's own script
    is Qt's, and is added by the handler.
    """
    frame = _frame(cache_folder)
    texts = {
        "/index.html": _shell(frame),
        "/frame.css": frame.style,
        "/theme.css": theme_css(),
        "/early.js": frame.early_script,
        "/frame.js": frame.script,
    }
    found = {
        path: PageFile(_content_type(Path(path)), text.encode())
        for path, text in texts.items()
    }
    leaflet = Path(str(files("js_lib_leaflet"))) / "static" / "js_lib_leaflet"
    for name in ("leaflet.js", "leaflet.css"):
        found[f"/{name}"] = _page_file(leaflet / name)
    for path in sorted([*_OWN.glob("*.js"), *_OWN.glob("*.css")]):
        found[f"/{path.name}"] = _page_file(path)
    return found


def theme_css() -> str:
    """The colours of `fieldtrip.desktop.theme` as custom properties, light and dark."""
    return f":root {{{_properties(LIGHT)}}}\n:root.dark {{{_properties(DARK)}}}\n"


def _properties(theme: Theme) -> str:
    colours = {
        name: value for name, value in asdict(theme).items() if name != "is_dark"
    }
    return " ".join(f"--{n.replace('_', '-')}: {v};" for n, v in colours.items())


def _page_file(path: Path) -> PageFile:
    return PageFile(_content_type(path), path.read_bytes())


def _content_type(path: Path) -> str:
    return f"{_TYPES[path.suffix]};charset=utf-8"


def _shell(frame: Frame) -> str:
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{POLICY}">
<title>Map</title>
<script src="{BASE}early.js"></script>
{frame.head}
<link rel="stylesheet" href="{BASE}frame.css">
<link rel="stylesheet" href="{BASE}theme.css">
<link rel="stylesheet" href="{BASE}map.css">
</head><body>
{frame.body}
<script src="{BASE}qwebchannel.js"></script>
<script src="{BASE}frame.js"></script>
<script type="module" src="{BASE}main.js"></script>
</body></html>
"""


def _frame(cache_folder: Path) -> Frame:
    kept = cache_folder / f"map-frame-{_key()}.json"
    frame = _read(kept)
    if frame is None:
        frame = _written_by_folium()
        _keep(kept, frame)
    return frame


def _key() -> str:
    """Changes with the program, with folium, with Leaflet and with this module."""
    names = ("folium", "branca", "django-js-lib-leaflet")
    parts = [f"{name} {version(name)}" for name in names]
    # This module stands for the program, whose version a source tree may not have.
    parts.append(Path(__file__).read_text("utf-8"))
    return sha256("\n".join(parts).encode()).hexdigest()[:16]


def _read(kept: Path) -> Frame | None:
    """What was kept, or None: not there, cut short, or not ours."""
    try:
        values = json.loads(kept.read_text("utf-8"))
    except (OSError, ValueError):
        return None
    names = {field.name for field in fields(Frame)}
    if not isinstance(values, dict) or set(values) != names:
        return None
    if not all(isinstance(value, str) for value in values.values()):
        return None
    return Frame(**values)


def _keep(kept: Path, frame: Frame) -> None:
    """Write it beside and rename, so that a half-written file is never read."""
    beside = kept.with_suffix(".new")
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(json.dumps(asdict(frame)), "utf-8")
        beside.replace(kept)
        for older in set(kept.parent.glob("map-frame-*.json")) - {kept}:
            older.unlink(missing_ok=True)
    except OSError as error:  # the next start is slower, and that is all
        log.info("The map page could not be kept in %s: %s", kept.parent, error)


def _written_by_folium() -> Frame:
    # Imported here: only the first start after an update pays for it.
    import folium
    from branca.element import Figure, MacroElement
    from folium.template import Template

    paper = folium.Map(
        location=(0.0, 0.0),
        zoom_start=2,
        tiles=None,
        zoom_control="topright",
        attribution_control=False,
        zoom_animation=False,  # drawn anew at each zoom, like a print
        fade_animation=False,
        marker_zoom_animation=False,
        zoom_snap=0.5,
    )
    paper.default_js = [("leaflet", f"{BASE}leaflet.js")]
    paper.default_css = [("leaflet_css", f"{BASE}leaflet.css")]
    leave_in_window = MacroElement()  # type: ignore[no-untyped-call]
    # A child of the map, because it is written after the map's own variable.
    leave_in_window._template = Template(  # noqa: SLF001  # folium's way to extend it
        "{% macro script(this, kwargs) %}"
        "window.fieldtripMap = {{ this._parent.get_name() }};"
        "{% endmacro %}"
    )
    paper.add_child(leave_in_window)
    figure = paper.get_root()
    if not isinstance(figure, Figure):
        raise TypeError("folium's map has no figure")
    figure.render()

    head: str = figure.header.render()
    scripts, styles = _SCRIPT.findall(head), _STYLE.findall(head)
    return Frame(
        head=_STYLE.sub("", _SCRIPT.sub("", head)).strip(),
        body=figure.html.render().strip(),
        style="\n".join(styles),
        early_script="\n".join(scripts),
        script=figure.script.render(),
    )
