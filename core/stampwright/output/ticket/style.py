"""How the ticket looks, on screen and on A4 paper."""

from __future__ import annotations

from ...looks.colours import DESK, HAIRLINE, INK, MADDER, PAPER, QUIET
from ...looks.typefaces import SANS, SERIF

STYLE = f"""
@page {{ size: A4; margin: 11mm 16mm 10mm; }}
* {{ box-sizing: border-box; }}
html {{ color-scheme: light; background: {DESK}; }}
body {{ margin: 0; color: {INK}; font: 8.8pt/1.38 {SANS};
  font-variant-numeric: tabular-nums; -webkit-print-color-adjust: exact; print-color-adjust: exact; }}
.sheet {{ width: 210mm; min-height: 297mm; margin: 8mm auto; padding: 11mm 16mm 10mm; background: {PAPER};
  box-shadow: 0 1mm 5mm #0002; display: flex; flex-direction: column; }}
h1, h2 {{ font-family: {SERIF}; font-weight: 400;
  margin: 0; }}
h1 {{ font-size: 23pt; line-height: 1.15; overflow-wrap: anywhere; }}
h2 {{ font-size: 12.5pt; margin: 5mm 0 1.6mm; }}
h3 {{ font-size: 9pt; margin: 0 0 .8mm; }}
p {{ margin: 0 0 1.2mm; }}
header {{ display: flex; justify-content: space-between; align-items: flex-end; gap: 8mm; padding-bottom: 3mm;
  border-bottom: .5mm solid {MADDER}; }}
header p {{ margin: 0; color: {QUIET}; flex: none; max-width: 90mm; overflow-wrap: anywhere; }}
.proof {{ display: flex; gap: 8mm; align-items: center; margin-top: 3mm; }}
.proof.tall {{ flex-direction: column; align-items: stretch; }}
figure {{ margin: 0; flex: none; text-align: center; }}
figure svg {{ display: block; margin: 0 auto; max-width: none; }}
figcaption {{ color: {QUIET}; font-size: 7.6pt; margin-top: 1mm; }}
.facts {{ flex: 1; }}
dl {{ margin: 0; display: grid; grid-template-columns: auto 1fr; }}
.tall dl {{ grid-template-columns: auto 1fr auto 1fr; }}
dt, dd {{ margin: 0; padding: .75mm 0; border-bottom: .2mm solid {HAIRLINE}; }}
dt {{ color: {QUIET}; padding-right: 4mm; }}
.tall dd {{ padding-right: 6mm; }}
table {{ width: 100%; border-collapse: collapse; }}
th {{ font-weight: 600; text-align: right; color: {QUIET}; border-bottom: .3mm solid {INK}; padding: 0 0 .8mm 3mm; }}
td {{ text-align: right; padding: .9mm 0 .9mm 3mm; border-bottom: .2mm solid {HAIRLINE}; }}
th:first-child, td:first-child, th:nth-child(2), td:nth-child(2) {{ text-align: left; padding-left: 0; }}
tr.sum td {{ font-weight: 600; border-bottom: none; }}
tr.sum td:nth-child(2) {{ text-align: right; }}
.found {{ list-style: none; margin: 0; padding: 0; display: grid; grid-template-columns: 1fr 1fr; gap: 1.4mm 8mm; }}
.found li {{ position: relative; padding-left: 7mm; overflow-wrap: anywhere; }}
.found svg {{ position: absolute; left: 0; top: -.2mm; }}
.steps, .care {{ font-size: 7.5pt; line-height: 1.3; }}
.steps {{ columns: 2; column-gap: 8mm; }}
.steps p {{ margin-bottom: .8mm; }}
.step {{ break-inside: avoid; margin-bottom: 2.2mm; padding-left: 7mm; position: relative; }}
.step > b {{ position: absolute; left: 0; top: -.6mm; color: {MADDER};
  font: 400 14pt/1.1 {SERIF}; }}
.source {{ color: {QUIET}; font-size: 7pt; display: inline-block; }}
.care {{ margin-top: auto; border: .3mm solid {MADDER}; padding: 3mm 4mm 2.4mm; break-inside: avoid; }}
.care h2 {{ margin-top: 0; }}
.care dl {{ grid-template-columns: auto 1fr; }}
.care dt, .care dd {{ border: none; padding: .5mm 0; }}
.care dt {{ color: {MADDER}; font-weight: 600; padding-right: 4mm; }}
.sign {{ margin-top: auto; padding-top: 6mm; display: grid; grid-template-columns: 3fr 2fr 1.3fr; gap: 6mm;
  color: {QUIET}; }}
.sign span {{ border-top: .2mm solid {INK}; padding-top: .8mm; }}
.small {{ color: {QUIET}; font-size: 7.6pt; margin-top: 1.2mm; }}
@media print {{
  html {{ background: none; }}
  .sheet {{ width: auto; min-height: 275mm; margin: 0; padding: 0; box-shadow: none; }}
  .sheet + .sheet {{ break-before: page; }}
}}
"""
