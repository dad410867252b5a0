#pragma once

namespace bellhand::report {

/// The page's style sheet: dark ink on paper, brass for what deserves a second look; nothing is told by colour alone.
inline constexpr const char* kPageStyle = R"css(
:root { --ink: #23262d; --soft: #5d6470; --faint: #d9dbe0; --paper: #ffffff; --wash: #f5f2ec; --brass: #8a5a14; --blue: #2c5680; }
* { box-sizing: border-box; }
body { margin: 0; background: #eeece7; color: var(--ink);
  font: 15px/1.5 "Noto Sans", "DejaVu Sans", "Segoe UI", "Helvetica Neue", Arial, sans-serif; font-variant-numeric: tabular-nums; }
main { max-width: 800px; margin: 0 auto; padding: 34px 40px 44px; background: var(--paper); }
h1, h2, h3 { font-family: "Noto Serif", "DejaVu Serif", Georgia, "Times New Roman", serif; line-height: 1.25; }
h1 { font-size: 28px; font-weight: 600; margin: 0; }
h2 { font-size: 19px; font-weight: 600; margin: 34px 0 6px; padding-top: 12px; border-top: 1px solid var(--faint); }
h3 { font-size: 15.5px; font-weight: 600; margin: 18px 0 2px; }
p { margin: 4px 0 8px; }
.under { color: var(--soft); margin: 2px 0 0; }
.soft { color: var(--soft); }
.small-note { color: var(--soft); font-size: 13px; }
.sums { display: flex; flex-wrap: wrap; gap: 10px 26px; margin: 20px 0 2px; padding: 0; list-style: none; }
.sums li { min-width: 74px; }
.sums b { display: block; font: 600 22px/1.2 "Noto Serif", "DejaVu Serif", Georgia, serif; }
.sums span { color: var(--soft); font-size: 13px; }
table { border-collapse: collapse; width: 100%; margin: 6px 0 10px; }
th { text-align: left; font-weight: 600; font-size: 12.5px; color: var(--soft); border-bottom: 1px solid var(--soft); padding: 3px 12px 3px 0; vertical-align: bottom; }
td { padding: 4px 12px 4px 0; border-bottom: 1px solid var(--faint); vertical-align: top; }
th.n, td.n { text-align: right; white-space: nowrap; }
th:last-child, td:last-child { padding-right: 0; }
tr.session td { border-bottom: none; padding-top: 8px; font-weight: 600; }
tr.block td:first-child { padding-left: 18px; }
td .why { display: block; color: var(--soft); font-size: 13px; }
.hand { display: inline-block; min-width: 1.3em; text-align: center; font-weight: 600; }
blockquote { margin: 6px 0; padding: 4px 0 4px 14px; border-left: 3px solid var(--brass); }
blockquote p { margin: 0; white-space: pre-line; overflow-wrap: anywhere; }
blockquote footer { color: var(--soft); font-size: 13px; }
.care { background: var(--wash); border-left: 3px solid var(--soft); padding: 10px 14px; margin: 10px 0; }
.care p { margin: 0 0 6px; } .care p:last-child { margin: 0; }
figure { margin: 6px 0 4px; break-inside: avoid; }
svg { display: block; width: 100%; height: auto; font-family: inherit; }
svg text { fill: var(--ink); font-size: 13px; }
svg .small { font-size: 11px; fill: var(--soft); } svg .tiny { font-size: 9.5px; fill: var(--soft); }
svg .strong { font-weight: 700; fill: var(--brass); }
svg .middle { text-anchor: middle; } svg .end { text-anchor: end; }
svg .sign { font-size: 11.5px; font-weight: 600; }
svg .grid { stroke: var(--faint); stroke-width: 1; } svg .zero { stroke: var(--soft); stroke-width: 1; }
svg .good { fill: var(--wash); }
svg .spread { stroke: var(--blue); stroke-width: 3; stroke-linecap: round; opacity: .55; }
svg .mark { fill: #fff; stroke: var(--ink); stroke-width: 1.2; } svg .weak { stroke: var(--brass); stroke-width: 2.8; }
svg .band { fill: var(--blue); opacity: .16; } svg .trend { fill: none; stroke: var(--ink); stroke-width: 1.6; stroke-linejoin: round; }
svg .dot { fill: var(--paper); stroke: var(--ink); stroke-width: 1.6; }
svg .played { fill: var(--ink); } svg .rested { fill: #c9d6e3; stroke: var(--blue); stroke-width: .8; }
svg .advised { stroke: var(--brass); stroke-width: 2.4; }
.key { color: var(--soft); font-size: 13px; margin: 2px 0 8px; }
.key i { display: inline-block; width: 11px; height: 11px; margin: 0 4px 0 12px; vertical-align: -1px; } .key i:first-child { margin-left: 0; }
.key .kp { background: var(--ink); } .key .kr { background: #c9d6e3; border: 1px solid var(--blue); } .key .ka { height: 0; border-top: 3px solid var(--brass); vertical-align: 4px; }
.foot { margin-top: 34px; padding-top: 10px; border-top: 1px solid var(--faint); color: var(--soft); font-size: 12.5px; }
@media (max-width: 640px) { main { padding: 20px 16px; } }
@media print {
  @page { margin: 15mm 14mm; }
  body { background: none; font-size: 10.5pt; } main { max-width: none; padding: 0; }
  h1 { font-size: 20pt; } h2 { font-size: 14pt; break-after: avoid; } h3 { break-after: avoid; }
  tr, blockquote, .care, .sums { break-inside: avoid; } thead { display: table-header-group; }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
)css";

} // namespace bellhand::report
