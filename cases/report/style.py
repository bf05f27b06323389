"""How the page looks: on a wide screen, on a telephone, and on A4."""

SCREEN = """
:root { --ink: #22303c; --soft: #5d6b76; --line: #d6dce1; --good: #2f7d4f; --bad: #b3261e; --open: #8a6d1d; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 960px; padding: 28px 24px 60px; color: var(--ink); background: #fff; overflow-wrap: anywhere;
       font: 15px/1.5 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
h1 { font-size: 25px; line-height: 1.25; margin: 0 0 2px; }
h2 { font-size: 18px; margin: 34px 0 8px; padding-bottom: 4px; border-bottom: 1px solid var(--line); }
h3 { font-size: 15px; margin: 18px 0 6px; }
p { margin: 6px 0; } .soft { color: var(--soft); font-size: 13px; }
ul { margin: 6px 0; padding-left: 20px; } li { margin: 4px 0; }
table { border-collapse: collapse; width: 100%; font-size: 14px; margin: 8px 0; }
th { text-align: left; font-weight: 600; color: var(--soft); border-bottom: 1px solid var(--ink); }
th, td { padding: 4px 12px 4px 0; vertical-align: top; overflow-wrap: normal; } td { border-bottom: 1px solid var(--line); }
td:first-child { min-width: 11em; } td:last-child, th:last-child { padding-right: 0; }
.num { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
.ok, .not-ok, .not-judged { white-space: nowrap; font-weight: 600; }
.ok { color: var(--good); } .not-ok { color: var(--bad); } .not-judged { color: var(--open); }
.box { border: 1px solid var(--line); border-left: 6px solid var(--soft); padding: 10px 18px; margin: 12px 0; }
.box-ok { border-left-color: var(--good); } .box-not-ok { border-left-color: var(--bad); border-left-style: double; }
.box-not-judged { border-left-color: var(--open); border-left-style: dashed; }
.word { font-size: 13px; font-weight: 700; letter-spacing: 0.06em; text-transform: uppercase; }
.answer { font-size: 18px; line-height: 1.4; font-weight: 600; }
.keys { display: grid; grid-template-columns: repeat(auto-fit, minmax(160px, 1fr)); gap: 8px; margin: 10px 0; }
.key { border: 1px solid var(--line); padding: 6px 10px; } .key b { display: block; font-size: 18px; line-height: 1.3; font-weight: 600; }
.key span { color: var(--soft); font-size: 12.5px; line-height: 1.3; display: block; }
.drawing { margin: 10px 0; } .drawing svg { max-width: 100%; height: auto; display: block; margin: 0 auto; }
figure { margin: 16px 0 22px; } figure img { width: 100%; height: auto; display: block; }
.plot { overflow: auto hidden; } .plot svg { width: 100%; height: auto; display: block; } .view svg { width: auto; max-width: 100%; max-height: 420px; height: auto; display: block; } .spot:hover { fill-opacity: 0.08; }
#steps label { font-size: 14px; } #steps input { width: 100%; display: block; margin: 4px 0; accent-color: var(--ink); } #steps output { font-size: 14px; }
figcaption { font-size: 14px; } pre { background: #f5f7f8; padding: 12px; white-space: pre-wrap; font-size: 12.5px; }
.caution { border: 1px solid var(--bad); padding: 2px 14px; font-size: 14px; }
"""

#: a table becomes a list of blocks, each cell with the name of its column before it
NARROW = """
@media screen and (max-width: 640px) {
  body { padding: 16px 14px 40px; } .box { padding: 8px 12px; } .answer { font-size: 16px; }
  .keys { grid-template-columns: 1fr 1fr; }
  table, tbody, tr { display: block; width: auto; } thead { display: none; }
  tr { border-bottom: 1px solid var(--line); padding: 6px 0; }
  td { display: inline; border: 0; padding: 0; margin-right: 10px; } td.num { text-align: left; white-space: normal; }
  td:first-child { font-weight: 600; min-width: 0; } td[data-label]:not(:first-child)::before { content: attr(data-label) ": "; color: var(--soft); font-weight: 400; }
  td:empty { display: none; } .plot svg, .plot img { width: 640px; max-width: none; }
}
"""

PRINT = """
@page { size: A4; margin: 12mm 13mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 9.2pt; line-height: 1.36; }
  h1 { font-size: 14pt; } h2 { font-size: 12pt; margin: 5mm 0 2mm; } h3 { font-size: 9.8pt; margin: 3mm 0 1mm; }
  h2, h3, .tied { break-after: avoid; } .lead, .whole, tr, li, .box, .caution, figure, .drawing, .keys { break-inside: avoid; }
  p, ul { orphans: 3; widows: 3; margin: 1mm 0; } li { margin: 0.5mm 0; } .soft { font-size: 8.2pt; }
  table { font-size: 8.4pt; margin: 1.5mm 0; } th, td { padding: 0.5mm 2.5mm 0.5mm 0; } thead { display: table-header-group; }
  .front { break-after: page; line-height: 1.3; } .front p, .front ul { margin: 0.6mm 0; }
  .box { padding: 1.5mm 4mm; margin: 1.5mm 0; } .answer { font-size: 10.5pt; line-height: 1.3; } .word { font-size: 8pt; }
  .keys { gap: 1.5mm; margin: 1.5mm 0; grid-template-columns: repeat(5, 1fr); } .key { padding: 0.8mm 2mm; } .key b { font-size: 10pt; }
  .key span { font-size: 7.4pt; } .drawing { margin: 1mm 0; }
  .front table { font-size: 8pt; margin: 0.5mm 0; } .front td, .front th { padding-top: 0.2mm; padding-bottom: 0.2mm; white-space: nowrap; }
  .caution { padding: 0.3mm 3mm; font-size: 7.2pt; line-height: 1.22; } .front .caution li { margin: 0; }
  figure { margin: 3mm 0; } figure img { width: auto; max-width: 100%; max-height: 68mm; } .plot svg { width: auto; max-width: 100%; max-height: 68mm; } .view svg { max-height: 62mm; } figure.tall img, figure.tall .plot svg { max-height: 118mm; } #steps label { display: none; } figcaption { font-size: 8.4pt; }
  .columns { columns: 2; column-gap: 8mm; } .columns table { margin: 0; font-size: 7.8pt; }
  pre { break-inside: avoid; columns: 4; column-gap: 4mm; font-size: 6.5pt; line-height: 1.3; padding: 2mm; background: none; border: 1px solid var(--line); }
}
"""

STYLE = SCREEN + NARROW + PRINT
