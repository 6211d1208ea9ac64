/**
 * Paper: a sheet is never split where it fits on a page, so facts and findings run on as sentences and notes are their
 * first line alone; controls and the bar that cannot move stay away.
 */
export const paperStyle = `
@page{margin:10mm}
@media print{
:root{--bg:#fff;--raised:#fff;--ink:#000;--soft:#222;--line:#666;--faint:#ccc;--link:#000;color-scheme:light}
body{font-size:9pt;line-height:1.3;-webkit-print-color-adjust:exact;print-color-adjust:exact}
main,.top{padding:0;max-width:none}
h1{font-size:18pt;margin:4pt 0 8pt}h2{font-size:12pt;margin:12pt 0 4pt;break-after:avoid}h3{font-size:10pt;break-after:avoid}h4{font-size:8.5pt;margin:5pt 0 2pt;break-after:avoid}
.skip,nav,.tools,.play,.close,tr.opened{display:none!important}
a{text-decoration:none}
.settings td.n:nth-child(-n+4){font-size:10pt}
.clips{font-size:8pt}
.clips>thead button{min-height:0;border:0;padding:0}
.clips>thead th:nth-child(10),.clips>tbody>tr>td:nth-child(10){display:none}
tr,.finding,.lines li,.pic,.facts dl{break-inside:avoid}
.js #sheets{display:block}
.box summary{display:block;list-style:none}
.js .sheet:not(.printed),.sheet[hidden]{display:none}
.sheet{break-inside:avoid;padding:4pt 0;background:none;margin:0 0 6pt}
.first{display:block}.first h2{margin-top:8pt}
.sheet .pics{grid-template-columns:repeat(3,1fr);grid-template-rows:auto 1fr;gap:4pt 14pt;margin:4pt 0}
.pic-cadence,.pic-intervals{grid-column:1}.pic-shutter{grid-column:2;grid-row:1/3}.pic-light{grid-column:3;grid-row:1/3}
.pic-cadence+.pic-intervals{grid-column:2;grid-row:1/3}
.sheet svg text{font-size:15px}
.sheet h3{font-size:11pt!important}.sheet .kv,.sheet .open{font-size:8pt}.says{font-size:8.5pt;margin-bottom:1pt}
.sheet .small th,.sheet .small td{padding-top:1pt;padding-bottom:1pt;font-size:7.5pt}
.box summary{font-size:8.5pt;margin:4pt 0 1pt}
.files li{padding:0;border:0}
#pictures .pics{grid-template-columns:repeat(3,1fr);gap:6pt 14pt}
.pic-seen{grid-row:auto}
.time figcaption{font-size:7.5pt}
.pic figcaption{font-size:7.5pt;line-height:1.25;margin-bottom:1pt}
.plan{font-size:10pt}
.conflict{display:inline}
.findings{grid-template-columns:1fr 1fr 1fr;gap:3pt 12pt}
.sheet .g-note .kv{display:none}.g-note .says{font-weight:400}
.facts{columns:auto;font-size:7.5pt}
.facts dl,.facts dt,.facts dd{display:inline;padding:0;border:0}
.facts dl::after{content:" \\b7 "}
.facts dt{color:#444}.facts dt::after,.sheet .kv dt::after{content:" "}
.facts dd small{display:none}
.sheet .kv{display:block}.sheet .kv div,.sheet .kv dt,.sheet .kv dd{display:inline}
.sheet .kv div::after{content:" \\b7 "}.sheet .kv div:last-child::after{content:""}
.read,.files,.absent{font-size:7.5pt;margin-top:2pt}
.mover,.pic .hint{display:none!important}
.sheet .caution{font-size:8pt;padding:0 0 0 6pt;margin:3pt 0}
}
`;
