// The look. A vessel is an outline that is open at the top. Colours follow the page's color-scheme; paper is light.
export const LOOK = `
:host { display: block; --kw-ink: CanvasText; --kw-paper: Canvas; --kw-line: gray; --kw-info: var(--kw-ink);
  --kw-accent: light-dark(#2d4f3f, #a9d3bb); --kw-on-accent: var(--kw-paper);
  --kw-danger: light-dark(#8f1a14, #ffb1a8); --kw-warning: light-dark(#6d4700, #f2cd83); }
:host([hidden]), p:empty, ul:empty { display: none; }
* { box-sizing: border-box; margin: 0; padding: 0; }
section { container-type: inline-size; max-width: var(--kw-width, 56rem); padding: .8em; color: var(--kw-ink);
  background: var(--kw-paper); font: var(--kw-font, inherit); line-height: 1.45; overflow-wrap: anywhere; }
h2, p { margin: .4em 0; }
li { list-style: none; }
nav ol, .bar, .list li, label:has(b) { display: flex; flex-wrap: wrap; gap: .5em; align-items: center; }
input, select, button, a { font: inherit; color: inherit; min-height: 3em; padding: .35em .6em;
  border: 1px solid var(--kw-line); background: var(--kw-paper); }
nav ol { gap: 2px; } nav li { flex: auto; }
nav button { width: 100%; padding: 0; border-width: 0 0 4px; }
nav [aria-current] { font-weight: bold; border-color: var(--kw-accent); }
.field { margin: .7em 0; max-width: 28em; } .label { display: block; font-weight: bold; }
.field > :not(p) { width: 100%; margin-top: .2em; } a { align-content: center; }
.next { background: var(--kw-accent); color: var(--kw-on-accent); }
.vessel { border: 2px solid var(--kw-line); border-top: 0; border-radius: 0 0 1.2em 1.2em; padding: 0 .5em .5em; }
.vessel li { border-bottom: 1px solid var(--kw-line); } .list li { align-items: end; padding-bottom: .7em; }
.vessel .field { margin-bottom: 0; flex: 1 1 5em; } .vessel :is(.fat, .words) { flex: 3 1 12em; }
li i { display: inline-block; vertical-align: -.2em; width: 1.2em; height: 1.2em; margin-right: .5em;
  border: 1px solid var(--kw-line); print-color-adjust: exact; }
.error, .trouble { color: var(--kw-danger); font-weight: bold; }
[aria-invalid] { border: 2px solid var(--kw-danger); }
.danger { --_tone: var(--kw-danger); } .warning { --_tone: var(--kw-warning); } .info { --_tone: var(--kw-info); }
strong { color: var(--_tone); } summary { padding: .7em 0; }
.caution { border-left: 6px solid var(--_tone); padding-left: .7em; margin: .5em 0; }
.cautions { font-size: .95em; } .cautions, .vessel { margin-bottom: 1.2em; }
label:has(b) { gap: .3em; min-height: 3em; }
label span { flex: 1 1 min-content; min-width: 0; overflow-wrap: break-word; }
b { font-size: 1.3em; margin-left: auto; font-variant-numeric: tabular-nums; }
[type=checkbox] { width: 1.5em; min-height: 1.5em; }
img { display: block; width: 100%; max-width: 16em; background: #fff; padding: .3em; }
@container (min-width: 36em) { .beside { display: grid; grid-template-columns: 2fr 3fr; gap: 1.5em; align-items: start; }
  .cautions:only-child { grid-column: 1 / 3; } }
@media print { :host { color-scheme: light; } section { max-width: none; padding: 0; font-size: 9pt; } li, .vessel { break-inside: avoid; } h3 { break-after: avoid; }
  nav, button, a { display: none; } ::details-content { content-visibility: visible; } }
`;
