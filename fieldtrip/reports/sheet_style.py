"""The sheet's style: a page of a printed field guide, on a phone, a desk and paper.

Paper is A4 or Letter, whichever the printer has; on a screen the page is one column
that can be read and reached with the thumb of one hand, light or dark as the phone is.
"""

from __future__ import annotations

from fieldtrip.reports.markup import css_string

_LIGHT = """--paper:#f4efe3;--sheet:#fbf8f0;--ink:#22303a;--soft:#566069;--line:#cfc6b3;
--accent:#0f766e;--wash:#dfeae6;--stop:#b3261e;--caution:#a85a06;--unknown:#565d6a;
--clear:#2f6b4c;--sea:#e6ebe8;--land:#efe6cf;--shingle:#e2d8bd"""
_DARK = """--paper:#1b2024;--sheet:#22282d;--ink:#e9e4d6;--soft:#a9b0b3;--line:#495259;
--accent:#5cc5b8;--wash:#2b3f40;--stop:#f0847b;--caution:#e3a352;--unknown:#aab1bc;
--clear:#7cc39c;--sea:#1e2a30;--land:#343630;--shingle:#44443a"""
_PRINT = """--paper:#ffffff;--sheet:#ffffff;--ink:#1d2a33;--soft:#4d5760;--line:#bdb5a4;
--accent:#0b5f59;--wash:#e8efed;--stop:#a3211a;--caution:#8f4c05;--unknown:#4c5360;
--clear:#285c41;--sea:#eef2f1;--land:#f6f0df;--shingle:#e9e1ca"""

_BODY = """
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);
font:17px/1.45 "Source Sans 3","Noto Sans",
"DejaVu Sans Condensed",Roboto,"DejaVu Sans",sans-serif;
font-variant-numeric:tabular-nums;font-variant-ligatures:none;overflow-wrap:anywhere}
main{max-width:46em;margin:0 auto;padding:0 14px 7em;background:var(--sheet)}
h1,h2,h3{font-family:Charter,"Source Serif 4",Georgia,"Noto Serif","DejaVu Serif",serif;
line-height:1.2;margin:0;text-align:left}
h1{font-size:1.6em;padding-top:14px}
h2{font-size:1.2em;margin-top:1.5em;padding-bottom:3px;
border-bottom:2px solid var(--accent)}
h3{font-size:1.05em;margin-top:1em}
h1,h2,h3,p,li,td,th,dt,dd,figcaption{unicode-bidi:plaintext}
p{margin:.4em 0;white-space:pre-line}
.soft,.hint,small,figcaption{color:var(--soft);font-size:.86em}
.hint{font-style:italic}
.unknown-fact{font-style:italic}
ul,ol{margin:.4em 0;padding:0;list-style:none}
li{padding:6px 0;border-bottom:1px solid var(--line)}
dl{margin:.4em 0}
.pair{display:grid;grid-template-columns:8.6em minmax(0,1fr);gap:0 10px;padding:4px 0;
border-bottom:1px solid var(--line)}
dt{color:var(--soft)}
dd{margin:0;white-space:pre-line}
.time{font-weight:650;white-space:nowrap}
.loose{font-weight:650}
.whole{white-space:nowrap}
#plan td:first-child{width:8.2em;white-space:normal}
.big{font-size:1.15em}
.late{color:var(--stop)}
.overall{margin:.7em 0 0;padding:9px 12px;border:2px solid currentColor;
border-radius:6px;font-weight:650}
.stop{color:var(--stop)}.caution{color:var(--caution)}.unknown{color:var(--unknown)}
.clear{color:var(--clear)}
.finding b{color:inherit}
.finding .said{color:var(--ink)}
.finding .title{font-weight:650}
table{border-collapse:collapse;width:100%;margin:.4em 0;font-size:.94em}
th,td{text-align:left;vertical-align:top;padding:4px 8px 4px 0;
border-bottom:1px solid var(--line)}
th{overflow-wrap:normal;white-space:nowrap}
thead th{color:var(--soft);font-weight:400;font-size:.86em}
.wide{overflow-x:auto}
.wide table{min-width:32em}
tr.limit td{background:var(--wash)}
svg{display:block;width:100%;height:auto}
figure{margin:.5em 0}
.scroll{overflow-x:auto}
.scroll svg{min-width:34em}
.photo{max-width:100%;height:auto;border:1px solid var(--line)}
.meeting{display:grid;grid-template-columns:7.4em minmax(0,1fr);gap:12px;padding:8px 0;
border-bottom:1px solid var(--line)}
.meeting p{margin:.15em 0}
a{color:var(--accent)}
nav{position:fixed;left:0;right:0;bottom:0;display:grid;
grid-template-columns:repeat(auto-fit,minmax(4.4em,1fr));
background:var(--sheet);border-top:1px solid var(--line)}
nav a{padding:11px 2px;text-align:center;text-decoration:none;font-size:.9em}
.write{display:none}
.cautions{font-style:italic;font-size:.86em;color:var(--soft)}
.sea{fill:var(--sea)}
.land{fill:var(--land);stroke:var(--soft);stroke-width:1}
.water{fill:var(--sea);stroke:var(--soft);stroke-width:.6}
.shingle{fill:var(--shingle);stroke:var(--soft);stroke-width:.6;stroke-dasharray:2 2}
.shore{fill:none;stroke:var(--soft);stroke-width:1}
.contour{fill:none;stroke:var(--soft);stroke-width:.4;opacity:.7}
.closure{fill:none;stroke:var(--unknown);stroke-width:1.2;stroke-dasharray:1 3}
.hazard-area{fill:url(#map-hatch);stroke:var(--stop);stroke-width:1}
.hatch{stroke:var(--stop);stroke-width:.7;fill:none}
.hazard-line{fill:none;stroke:var(--stop);stroke-width:3.4;stroke-dasharray:1.6 3}
.route{fill:none;stroke:var(--accent);stroke-width:3;stroke-linejoin:round}
.other-way{fill:none;stroke:var(--ink);stroke-width:1;stroke-dasharray:5 3;opacity:.6}
.straight{fill:none;stroke:var(--accent);stroke-width:2.4;stroke-dasharray:.1 6;
stroke-linecap:round}
.sight{fill:none;stroke:var(--ink);stroke-width:.9;stroke-dasharray:7 3 1 3}
.mark{fill:var(--ink);stroke:var(--sheet);stroke-width:1.5}
.sign{fill:var(--sheet);font-size:12.5px;font-weight:700;text-anchor:middle}
.refuge{fill:var(--sheet);stroke:var(--clear);stroke-width:2.4}
.subject{fill:none;stroke:var(--ink);stroke-width:2.4}
.hazard{fill:var(--sheet);stroke:var(--stop);stroke-width:1.8}
.hazard-sign{fill:var(--stop);font-size:10px;font-weight:700;text-anchor:middle}
.name{fill:var(--ink);font-size:14.5px;paint-order:stroke;stroke:var(--sheet);
stroke-width:3.4px;stroke-linejoin:round}
.start{text-anchor:start}.middle{text-anchor:middle}.end{text-anchor:end}
.grid{fill:none;stroke:var(--soft);stroke-width:.5;opacity:.55}
.grid-text{fill:var(--soft);font-size:10.5px;paint-order:stroke;stroke:var(--sheet);
stroke-width:2.6px}
.plate{fill:var(--sheet);opacity:.85}
.bar{fill:none;stroke:var(--ink);stroke-width:1.6}
.plain{fill:var(--ink);font-size:12px}
.frame{fill:none;stroke:var(--ink);stroke-width:1.2}
.curve{fill:none;stroke:var(--accent);stroke-width:2.4}
.rough{stroke-dasharray:6 4}
.turn{fill:var(--ink)}
.turn-text{fill:var(--ink);font-size:12.5px;text-anchor:middle;paint-order:stroke;
stroke:var(--sheet);stroke-width:3px}
.stay{fill:var(--wash);stroke:var(--line)}
.level{fill:none;stroke:var(--ink);stroke-width:1;stroke-dasharray:5 4}
.level-text{fill:var(--ink);font-size:11px;paint-order:stroke;stroke:var(--sheet);
stroke-width:3px}
.open{fill:var(--wash);stroke:var(--accent);stroke-width:1.2}
.bar-text{fill:var(--ink);font-size:10.5px;paint-order:stroke;stroke:var(--sheet);
stroke-width:2.6px}
.code{width:7em;height:7em}
"""

_PAPER = """
body{font-size:8.6pt;line-height:1.26}
main{max-width:none;padding:0}
nav,.screen{display:none}
h1{font-size:17pt;padding-top:0}
h2{font-size:11pt;margin-top:6pt;border-bottom-width:1.2pt}
h3{font-size:10pt;margin-top:5pt}
h1,h2,h3{break-after:avoid;break-inside:avoid}
p{margin:2pt 0}
li{padding:1.5pt 0}
.pair{padding:1pt 0;grid-template-columns:24mm 1fr;gap:0 2mm;break-inside:avoid}
.two{columns:2;column-gap:6mm}
.finding{font-size:.92em}
.two>*,.two li{break-inside:avoid}
.two>table{break-inside:auto}
.columns{break-inside:avoid;display:grid;grid-template-columns:1fr 1fr;gap:0 6mm}
table{font-size:8.6pt;margin:2pt 0}
th,td{padding:1pt 5pt 1pt 0}
tr,li,figure,.meeting,.keep{break-inside:avoid}
thead{display:table-header-group}
.wide,.scroll{overflow:visible}
.scroll svg{min-width:0}
.wide table{min-width:0}
.overall{padding:3pt 7pt;margin-top:4pt}
.meeting{grid-template-columns:22mm 1fr;gap:3mm;padding:3pt 0}
.code{width:21mm;height:21mm}
.map{max-height:74mm}
.tide{max-height:42mm}
.photo{max-height:27mm}
.beside{display:grid;grid-template-columns:1fr 1fr;gap:0 6mm}
.beside figure{margin:2pt 0}
a{color:inherit;text-decoration:none}
.write{display:block;margin-top:3pt}
.write div{height:5mm;border-bottom:.5pt solid var(--soft)}
.write span{font-size:7.5pt;color:var(--soft)}
.write table{table-layout:fixed}
.write td{height:5.5mm;border:.4pt solid var(--soft)}
.write th{font-size:7.5pt;color:var(--soft);font-weight:400;padding-left:2pt}
"""


def style_sheet(foot: str) -> str:
    """The whole style; `foot` stands at the foot of every printed page."""
    return (
        f":root{{{_LIGHT};color-scheme:light dark}}{_BODY}"
        "@media screen{.wide td{white-space:nowrap}}"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{_DARK}}}}}"
        "@media screen and (max-width:30em){"
        ".pair{grid-template-columns:6.4em minmax(0,1fr)}}"
        f"@media print{{:root{{{_PRINT};color-scheme:light}}{_PAPER}}}"
        "@page{margin:11mm 12mm 14mm;"
        f"@bottom-left{{content:{css_string(foot)};"
        "font:7.5pt sans-serif;color:#4d5760}"
        '@bottom-right{content:"page " counter(page) " of " counter(pages);'
        "font:7.5pt sans-serif;color:#4d5760}}"
    )
