"""How the report looks, on a screen and on paper."""

__all__ = ["CSS"]

CSS = """
:root { color-scheme: light; }
body { font: 11pt/1.4 Calibri, "Segoe UI", Arial, sans-serif; color: #1a1a1a; background: #fff;
       max-width: 19cm; margin: 1cm auto; padding: 0 0.6cm; }
h1 { font-size: 20pt; margin: 0 0 0.1cm; }
h2 { font-size: 14pt; margin: 0.9cm 0 0.2cm; border-bottom: 1px solid #999; }
h3 { font-size: 11.5pt; margin: 0.5cm 0 0.1cm; }
p { margin: 0.15cm 0; }
ul { margin: 0.15cm 0; padding-left: 0.6cm; }
.answer p { font-size: 12.5pt; }
.quiet, caption, figcaption { color: #555; font-size: 9.5pt; }
.caution { border: 1.5px solid #1a1a1a; padding: 0.1cm 0.4cm 0.3cm; }
table { border-collapse: collapse; margin: 0.3cm 0; font-size: 9.5pt; width: 100%; }
caption { text-align: left; padding-bottom: 0.1cm; }
th, td { border-bottom: 1px solid #ccc; padding: 0.08cm 0.15cm; text-align: left;
         vertical-align: top; }
thead th { border-bottom: 1.5px solid #1a1a1a; vertical-align: bottom; }
tbody th { font-weight: normal; }
.number { text-align: right; font-variant-numeric: tabular-nums; }
figure { margin: 0.3cm 0; }
img { width: 100%; height: auto; }
.sheet table { font-size: 11pt; }
.sheet td, .sheet th { padding: 0.14cm; }
.care { font-weight: bold; }
.write td { height: 0.85cm; }
@page { margin: 1.5cm; }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 10.5pt; }
  .page { break-before: page; }
  h2, h3, caption { break-after: avoid; }
  tr, figure, .caution { break-inside: avoid; }
  thead { display: table-header-group; }
}
"""
