/** Everything but the table of clips, the sheets and the pictures, as a wide screen shows it. */
export const layoutStyle = `
:root{--ground:var(--bg)}
*,::before{box-sizing:border-box}
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
.small td:last-child{min-width:min(16em,44vw)}
#brief tbody th{overflow-wrap:normal}
.small.fits td:last-child{min-width:0}
.uses td:nth-child(5),.uses tbody th{white-space:nowrap}
.small thead th{white-space:normal;overflow-wrap:normal}
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

/** The table of clips, its tools and the sheets. Rows off the screen are not laid out: two thousand open at once. */
export const clipsStyle = `
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
.clips>*>tr{display:grid;grid-template-columns:112px minmax(150px,1fr) 104px 66px 74px 106px 66px 58px 92px 146px minmax(0,2.6fr);border-bottom:1px solid var(--faint)}
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
.absent{font-size:14px;color:var(--soft);margin-top:6px}
.needs{color:var(--soft)}
.conflict{display:block}
.read{font-size:14px;color:var(--soft);margin-top:8px}
.close{margin:0 18px}
`;

/** Pictures and the looks of their marks. */
export const picturesStyle = `
.pics{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,330px),1fr));gap:20px 34px;margin:12px 0}
.pic{display:flex;flex-direction:column;max-width:480px}
.pic-seen{grid-row:span 2}
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
.lost{fill:var(--bar);fill-opacity:.55}
.unseen{fill:url(#unseen)}
.unlooked{fill:none;stroke:var(--line);stroke-width:.8}
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
.strip{display:block;max-width:100%;height:auto}
.time{max-width:1280px;margin:2px 0 8px}
.time svg[role]{display:block;width:100%;overflow:visible}
.time figcaption{font-size:14px;color:var(--soft)}
.looked{fill:var(--band)}
.outline{fill:none;stroke:var(--ink)}
.at-mark{stroke:var(--bg);stroke-width:.6}
.at-note{fill:none;stroke:var(--ink);stroke-width:2}
`;
