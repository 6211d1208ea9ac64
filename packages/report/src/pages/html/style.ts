import type { Motion } from "../../charts/picture.ts";

/** Sweeps a bar makes by itself: four of about a second stay under the five after which motion must be stoppable. */
const sweeps = 4;

/**
 * The page's whole style. Colours are variables, so that dark, high contrast, forced colours and paper each set them
 * once; every text colour has at least 7:1 on its ground (WCAG 2.2, success criterion 1.4.6), which a test checks.
 */
export const pageStyle = (motions: readonly Motion[]): string => `${colours}${layout}${clips}${pictures}${narrow}${paper}${motionStyle(motions)}`;

const colours = `
:root{--bg:#fff;--raised:#f4f6f7;--ink:#12171b;--soft:#39424a;--line:#7d8891;--faint:#d9dfe3;--link:#0a3a6b;
--reshoot:#8a0f0f;--on-reshoot:#fff;--unknown:#40307a;--workable:#5c4100;--clean:#0a4a2a;
--plot:#0b4275;--plot2:#6a3200;--band:#dceadf;--bar:#b3261e;--focus:#0a3a6b;color-scheme:light dark}
@media screen and (prefers-color-scheme:dark){:root{--bg:#0f1316;--raised:#181e22;--ink:#f3f5f6;--soft:#c6ced4;--line:#77838c;--faint:#2c353b;--link:#a9d3ff;
--reshoot:#ffb1aa;--on-reshoot:#1b0605;--unknown:#d2c7ff;--workable:#ffd77f;--clean:#9be3ba;
--plot:#8ec8ff;--plot2:#ffb98a;--band:#1d3a2a;--bar:#ff8a80;--focus:#fff}}
@media (prefers-contrast:more){:root{--bg:#fff;--raised:#fff;--ink:#000;--soft:#000;--line:#000;--faint:#767676;--link:#00007a;--reshoot:#700;--unknown:#306;--workable:#420;--clean:#030}}
@media screen and (prefers-contrast:more) and (prefers-color-scheme:dark){:root{--bg:#000;--raised:#000;--ink:#fff;--soft:#fff;--line:#fff;--faint:#999;--link:#cfe6ff;--reshoot:#ffc9c5;--unknown:#e4dcff;--workable:#ffe7ad;--clean:#c4f3d7}}
@media (forced-colors:active){:root{--bg:Canvas;--raised:Canvas;--ink:CanvasText;--soft:CanvasText;--line:CanvasText;--faint:GrayText;--link:LinkText;--reshoot:CanvasText;--on-reshoot:Canvas;--unknown:CanvasText;--workable:CanvasText;--clean:CanvasText;--plot:CanvasText;--plot2:CanvasText;--band:Canvas;--bar:Highlight;--focus:Highlight}
svg{forced-color-adjust:none}}
`;

const layout = `
:root{--ground:var(--bg)}
*{box-sizing:border-box}
html{scroll-padding-top:3.5rem;-webkit-text-size-adjust:100%}
body{margin:0;background:var(--bg);color:var(--ink);font:15px/1.45 system-ui,sans-serif;font-variant-numeric:tabular-nums lining-nums;overflow-wrap:anywhere}
main,.top{max-width:1560px;margin:0 auto;padding:0 28px}
h1,h2,h3,h4,p,ul,ol,dl,dd,figure,fieldset{margin:0;padding:0}
ul{list-style:none}
h1{font-size:34px;line-height:1.18;font-weight:700;letter-spacing:-.01em;max-width:30em;margin:10px 0 18px;text-wrap:balance}
h2{font-size:19px;line-height:1.3;margin:34px 0 10px;padding-top:7px;border-top:3px solid var(--ink)}
h3{font-size:16px;margin:18px 0 6px}
h4{font-size:13px;letter-spacing:.04em;margin:16px 0 5px;color:var(--soft);border-bottom:1px solid var(--line)}
a{color:var(--link);text-underline-offset:2px}
small{font-size:.86em;color:var(--soft)}
.soft{color:var(--soft);max-width:100ch;margin-top:6px}
:focus-visible{outline:3px solid var(--focus);outline-offset:2px}
[tabindex="-1"]:focus-visible{outline-offset:4px}
.skip{position:absolute;left:8px;top:-80px;z-index:9;background:var(--bg);color:var(--ink);padding:12px 16px;border:2px solid var(--ink)}
.skip:focus{top:8px}
.defs{position:absolute}
.top{padding-top:14px;color:var(--soft)}
.name{color:var(--ink);letter-spacing:.02em;border:solid var(--ink);border-width:0 3px;padding:0 5px;margin-right:7px}
.partial{border:3px double var(--ink);padding:8px 12px;margin-bottom:12px}
.first{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:4px 40px;align-items:start}
.first h2{margin-top:0}
.again{grid-column:1;grid-row:1}.next{grid-column:2;grid-row:1}.caution{grid-column:1/-1;grid-row:2}
.next:first-child,.caution:first-child{grid-column:1/-1}
.caution:first-child{grid-row:1}.caution:first-child+.next{grid-column:1/-1;grid-row:2}
.caution{border-left:6px solid var(--workable);padding:6px 0 6px 12px;margin:8px 0 4px;font-weight:500}
.lines li{padding:6px 0;border-bottom:1px solid var(--faint)}
.lines a{font-weight:700}
.lines summary{cursor:pointer;color:var(--soft)}
.lines details p a{display:inline-block;font-weight:400;margin-right:12px}
.again .lines li{border-left:6px solid var(--reshoot);padding-left:12px;margin-bottom:5px}
.counts{display:flex;flex-wrap:wrap;gap:2px 30px;margin-top:18px;padding:8px 0;border:solid var(--line);border-width:1px 0}
.counts b{font-size:24px;margin-right:5px}
nav{display:flex;flex-wrap:wrap;gap:0 22px;margin-top:14px}
nav a{padding:8px 0}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:4px 8px 4px 0;border-bottom:1px solid var(--faint);font-weight:400}
thead th{font-weight:600;border-bottom:2px solid var(--ink);vertical-align:bottom}
.n{text-align:right;padding-right:16px}
td.n,th.n{white-space:nowrap;overflow-wrap:normal}
.settings td.n:nth-child(-n+4){font-size:18px;font-weight:600}
.settings .cannot td{color:var(--soft)}
.small{width:auto;min-width:min(100%,460px)}
.small td:last-child{min-width:16em}
.small.fits td:last-child{min-width:0}
.small thead th{white-space:normal}
tbody th{font-weight:600}
.tag{border:1px solid var(--line);border-radius:2px;padding:0 5px;font-size:.82em;white-space:nowrap;color:var(--ink)}
.v{white-space:nowrap;font-weight:600}
.v::before{content:"";display:inline-block;width:.8em;height:.8em;margin-right:.4em;vertical-align:-.04em;background:currentColor;forced-color-adjust:none}
.v.clean::before{border-radius:50%;transform:scale(.8)}
.v.workable::before{clip-path:polygon(50% 0,100% 100%,0 100%)}
.v.unknown::before{background:none;border:.16em solid;border-radius:50%}
.v.reshoot::before{clip-path:polygon(0 0,28% 0,50% 26%,72% 0,100% 0,100% 20%,70% 50%,100% 80%,100% 100%,72% 100%,50% 74%,28% 100%,0 100%,0 80%,30% 50%,0 20%)}
.v.reshoot{color:var(--reshoot)}.v.unknown{color:var(--unknown)}.v.workable{color:var(--workable)}.v.clean{color:var(--clean)}
.kv{display:flex;flex-wrap:wrap;gap:2px 26px}
.kv div{display:flex;gap:7px}
.kv dt{color:var(--soft);white-space:nowrap}
.plain li,.files li{padding:3px 0;border-bottom:1px solid var(--faint)}
summary{cursor:pointer}
`;

const clips = `
.tools{display:flex;flex-wrap:wrap;gap:8px 22px;align-items:center;margin-bottom:8px}
.tools[hidden]{display:none}
.tools fieldset{border:0;display:flex;flex-wrap:wrap;gap:2px 16px;align-items:center;min-width:0}
.tools legend{float:left;padding:0 12px 0 0;color:var(--soft)}
.tick{display:inline-flex;align-items:center;gap:6px;min-height:32px}
input,select,button{font:inherit;color:var(--ink);background:var(--bg);border:1px solid var(--line);border-radius:2px;min-height:32px;padding:2px 8px}
input[type=checkbox]{min-height:0;width:18px;height:18px;accent-color:var(--ink);margin:0}
button{cursor:pointer;background:var(--raised)}
.sort{display:none}
.shown{color:var(--soft);margin-bottom:4px}
.clips>thead th{padding:0 8px 0 0}
.clips>thead th.n{padding-right:16px}
.clips>thead th>span{display:inline-block;padding:6px 0}
.clips>thead small{display:block;font-weight:400}
.clips>thead button{width:100%;min-height:40px;text-align:inherit;border:0;background:none;padding:4px 0;font-weight:600;line-height:1.2}
.clips>thead button:hover span{text-decoration:underline}
[aria-sort] button span::after{content:"\\2193";margin-left:4px}
[aria-sort=ascending] button span::after{content:"\\2191"}
.clips>tbody>tr>th small{display:block;font-weight:400}
@media screen{
.clips,.clips>thead,.clips>tbody{display:block}
.clips>thead{position:sticky;top:0;z-index:2;background:var(--bg);border-bottom:2px solid var(--ink)}
.clips>*>tr{display:grid;grid-template-columns:112px minmax(150px,1fr) 104px 66px 66px 104px 66px 58px 92px 138px minmax(0,2.6fr);border-bottom:1px solid var(--faint)}
.clips>thead>tr{border:0}
.clips>thead th{border:0;align-self:end}
.clips>tbody>tr>*{border:0}
.clips>tbody>tr:not(.opened){content-visibility:auto;contain-intrinsic-size:auto 54px}
.clips>tbody>tr.opened,.clips>tbody>tr.opened>td{display:block}
}
.clips>tbody>tr:not(.opened):hover{background:var(--raised)}
.clips>tbody>tr.opened>td{padding:0 0 14px;border-bottom:3px solid var(--ink)}
tr[hidden]{display:none!important}
.js #sheets{display:none}
.sheet{--ground:var(--raised);padding:10px 18px 14px;background:var(--raised);border-top:3px solid var(--ink);margin-bottom:12px}
.sheet header{display:flex;gap:14px;align-items:baseline;flex-wrap:wrap}
.sheet header h3{margin:0;font-size:18px}
.plan{font-size:17px;margin:3px 0}
.findings{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,440px),1fr));gap:10px 30px}
.finding{border-left:4px solid var(--line);padding-left:12px}
.g-reshoot{border-left:8px solid var(--reshoot)}
.g-workable{border-left:4px double var(--workable);border-left-width:8px}
.says{font-weight:600;margin-bottom:3px}
.grade{border:1px solid;padding:0 5px;border-radius:2px;font-size:.85em}
.g-reshoot .grade{background:var(--reshoot);color:var(--on-reshoot);border-color:var(--reshoot)}
.open li{padding:3px 0}
.facts{columns:3 380px;column-gap:30px;font-size:14px;margin-top:4px}
.box summary{font-size:13px;letter-spacing:.04em;margin-top:16px;color:var(--soft);font-weight:700;border-bottom:1px solid var(--line)}
.facts dl{display:grid;grid-template-columns:9.5em minmax(0,1fr);gap:8px;break-inside:avoid;padding:2px 0;border-bottom:1px solid var(--faint)}
.facts dt{color:var(--soft)}
.facts dd small{display:block}
.f-absent dd,.f-damaged dd{color:var(--soft)}
.conflict{display:block}
.read{font-size:14px;color:var(--soft);margin-top:8px}
.close{margin:0 18px}
`;

const pictures = `
.pics{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,330px),1fr));gap:20px 34px;margin:12px 0}
.pic{display:flex;flex-direction:column;max-width:480px}
.pic svg{width:100%;height:auto;display:block}
.pic figcaption{font-size:14px;line-height:1.35;margin-bottom:4px}
.pic figcaption span{color:var(--soft);display:block}
.key{display:flex;flex-wrap:wrap;gap:2px 18px}
svg text{font:12px system-ui,sans-serif;fill:var(--ink);font-variant-numeric:tabular-nums}
svg .small{fill:var(--soft);paint-order:stroke;stroke:var(--ground);stroke-width:4px;stroke-linejoin:round}
svg .label{font-weight:600}
svg .end{text-anchor:end}svg .mid{text-anchor:middle}
.axis,.tick,.grid,.bound,.data,.slip,.odd,.trail,.hatch{fill:none;stroke:var(--ink);stroke-width:1}
.grid{stroke:var(--faint)}
.tick{stroke:var(--soft)}
.bound{stroke-dasharray:5 3}
.data{stroke:var(--plot);stroke-width:2.2;stroke-linejoin:round}
.second{stroke:var(--plot2)}
.band{fill:var(--band)}
.bar,.frame,.use-real{fill:var(--plot)}
.dense{fill:var(--line)}
.hold{fill:var(--bg);stroke:var(--plot);stroke-width:1}
.odd{stroke:var(--reshoot);stroke-width:4}
.slip{stroke:var(--reshoot);stroke-width:2}
.hatch{stroke:var(--plot);stroke-width:2}
.use-slow{fill:url(#hatch);stroke:var(--plot)}
.use-none{fill:none;stroke:var(--ink)}
.trail{stroke:var(--plot);stroke-width:1.4}
.at{stroke:var(--bg);stroke-width:.6}
.at-clean{fill:var(--clean)}.at-workable{fill:var(--workable)}
.at-unknown{fill:var(--bg);stroke:var(--unknown);stroke-width:1.8}
.at-reshoot{fill:none;stroke:var(--reshoot);stroke-width:2.4}
.mover{fill:var(--bar)}
.play{align-self:start;margin-top:4px}
.play[aria-pressed=true]{border:2px solid var(--ink)}
`;

const narrow = `
@media screen and (max-width:1000px){.first{display:block}.first h2{margin-top:16px}}
@media screen and (max-width:1240px){
.clips>*>tr{grid-template-columns:112px minmax(0,1fr) 66px 60px 100px 66px 56px 88px}
.clips>tbody>tr{padding:3px 0}
.clips>tbody>tr>td,.clips>tbody>tr>th{padding:1px 8px 1px 0}
.clips>tbody>tr:not(.opened){contain-intrinsic-size:auto 92px}
.clips>*>tr>.n{padding-right:12px}
.clips>*>tr>:nth-child(3),.clips>*>tr>:nth-child(10){display:none}
.clips>thead th:nth-child(11){display:none}
.clips>tbody>tr>td:nth-child(11){grid-column:2/-1;color:var(--soft)}
.clips>tbody>tr.opened{padding:0}
}
@media screen and (max-width:760px){
body{font-size:18px;line-height:1.4}
main,.top{padding:0 14px}
h1{font-size:32px;margin:6px 0 12px}
h2{font-size:21px}h3{font-size:19px}h4,.box summary{font-size:17px}
.first{display:block}
.first h2{margin:8px 0 2px}
nav{display:grid;grid-template-columns:repeat(3,1fr);gap:0}
nav a{min-height:48px;display:flex;align-items:center}
.lines li>a,.lines details p a{display:block;min-height:48px;line-height:48px;margin-bottom:-8px}
.lines li{padding:0 0 4px}
.top p{white-space:nowrap;overflow:hidden;text-overflow:ellipsis}
.top{padding-top:8px}
.plain a,.tick,button,select,input[type=search]{min-height:48px}
input[type=checkbox]{width:26px;height:26px}
summary{min-height:48px;padding:11px 0;line-height:26px}
.tools{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:8px 14px}
.tools fieldset,.find{grid-column:1/-1}
.tools fieldset{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr)}
.tools legend{float:none;padding:0}
.tools label{display:block}.tools .tick{display:flex}
.tools select,.tools input[type=search]{width:100%;font-size:18px}
.sort{display:block}
.settings,.settings tbody{display:block}
.clips>thead{display:none}
.settings thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.settings tr,.clips>tbody>tr{display:flex;flex-wrap:wrap;align-items:baseline;gap:0 14px;padding:8px 0;border-bottom:1px solid var(--line)}
.settings td,.clips>tbody>tr>td,.clips>tbody>tr>th{display:block;padding:0;border:0;text-align:left}
.settings td:nth-child(5){display:none}
.settings td:nth-child(1)::after{content:" fps"}.settings td:nth-child(2)::after{content:" s"}
.settings td:nth-child(4)::before{content:"ISO "}
.settings td:nth-child(6){flex-basis:100%}
.clips>tbody>tr>th{order:-1;flex:1 1 55%;font-size:19px}
.clips>tbody>tr>th a{display:inline-block;min-height:48px;line-height:48px}
.clips>tbody>tr>td:nth-child(1){order:-2;min-height:48px;line-height:48px}
.clips>tbody>tr>th small{margin-top:-10px}
.clips>tbody>tr>td:nth-child(4)::before{content:"length "}.clips>tbody>tr>td:nth-child(8)::before{content:"angle "}.clips>tbody>tr>td:nth-child(9)::before{content:"ISO "}
.clips>tbody>tr>td:nth-child(5)::after{content:" fps"}.clips>tbody>tr>td:nth-child(7)::after{content:" %"}.clips>tbody>tr>td:nth-child(8)::after{content:"\\b0"}
.clips>tbody>tr>td:nth-child(4)::before,.clips>tbody>tr>td:nth-child(8)::before,.clips>tbody>tr>td:nth-child(9)::before,.clips td::after{color:var(--soft)}
.clips>tbody>tr>td:nth-child(11){flex-basis:100%;color:var(--ink)}
.clips>tbody>tr:not(.opened){contain-intrinsic-size:auto 190px}
.clips>tbody>tr.opened{display:block;padding:0}
.clips>tbody>tr.opened>td{min-height:0;line-height:inherit}
.sheet{padding:10px 0;background:none}
.pic figcaption,.facts,.read{font-size:18px}
.pic{max-width:none}
.facts{columns:1}
.facts dl{grid-template-columns:minmax(0,2fr) minmax(0,3fr)}
.uses thead{display:none}
.uses tr{display:block;border-bottom:1px solid var(--line)}
.uses th,.uses td{display:inline-block;border:0;padding:0 14px 0 0}
.uses td:nth-child(3)::after{content:"\\b0"}.uses td:nth-child(4)::before{content:"fills "}
.small{min-width:0;width:100%}.small td:last-child{min-width:0}
.small th,.small td{white-space:normal;padding-right:10px}
.close{margin:0}
}
`;

const paper = `
@page{margin:12mm}
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
.sheet{break-inside:avoid;padding:6pt 0;background:none;margin:0 0 8pt}
.first{display:block}.first h2{margin-top:8pt}
.sheet .pics{grid-template-columns:repeat(3,1fr);grid-template-rows:auto 1fr;gap:4pt 14pt;margin:4pt 0}
.pic-cadence,.pic-intervals{grid-column:1}.pic-shutter{grid-column:2;grid-row:1/3}.pic-light{grid-column:3;grid-row:1/3}
.sheet svg text{font-size:15px}
.sheet h3{font-size:11pt!important}.sheet .kv,.sheet .open{font-size:8pt}.says{font-size:8.5pt;margin-bottom:1pt}
.sheet .small th,.sheet .small td{padding-top:1pt;padding-bottom:1pt;font-size:7.5pt}
.box summary{font-size:8.5pt;margin:4pt 0 1pt}
.files li{padding:0;border:0}
#pictures .pics{grid-template-columns:repeat(3,1fr);gap:6pt 14pt}
.pic figcaption{font-size:7.5pt;line-height:1.25;margin-bottom:1pt}
.plan{font-size:10pt}
.findings{grid-template-columns:1fr 1fr;gap:5pt 14pt}
.facts{columns:3;column-gap:14pt;font-size:7.5pt}
.facts dl{grid-template-columns:8em minmax(0,1fr);padding:1pt 0}
.facts dd small{display:none}
.read,.files{font-size:7.5pt;margin-top:2pt}
.mover{display:none}
}
`;

/** Where each bar of the cadence strips stands, frame by frame; nothing moves when less motion is preferred. */
function motionStyle(motions: readonly Motion[]): string {
  if (motions.length === 0) return "";
  const rules = motions.map(({ name, places, seconds }) => {
    const first = places[0] ?? 0;
    const frames = places.map(
      (place, at) =>
        `${Number(((100 * at) / places.length).toFixed(2))}%{transform:translateX(${Number((place - first).toFixed(1))}px)}`,
    );
    const last = places[places.length - 1] ?? first;
    return `.${name}{animation:${name} ${Number(seconds.toFixed(3))}s step-end ${sweeps}}@keyframes ${name}{${frames.join("")}to{transform:translateX(${Number((last - first).toFixed(1))}px)}}`;
  });
  return `@media (prefers-reduced-motion:no-preference){${rules.join("\n")}
.moving .mover{animation-iteration-count:infinite}}
@media (prefers-reduced-motion:reduce){.play{display:none}}
`;
}
