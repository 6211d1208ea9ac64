/** What changes on a narrow window and on a phone: 18 px text, 48 px targets, one column. */
export const narrowStyle = `
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
.clips>tbody>tr>td:nth-child(5)::after{content:" fps"}.clips>tbody>tr>td:nth-child(7)::after{content:" %"}.clips>tbody>tr>td:nth-child(8):not(.blur)::after,.clips>tbody>tr>td.blur small::before{content:"\\b0"}
.clips>tbody>tr>td:nth-child(4)::before,.clips>tbody>tr>td:nth-child(8)::before,.clips>tbody>tr>td:nth-child(9)::before,.clips td::after{color:var(--soft)}
.clips>tbody>tr>td:nth-child(11){flex-basis:100%;color:var(--ink)}
.clips>tbody>tr:not(.opened){contain-intrinsic-size:auto 190px}
.clips>tbody>tr.opened{display:block;padding:0}
.clips>tbody>tr.opened>td{min-height:0;line-height:inherit}
.sheet{padding:10px 0;background:none}
.pic figcaption,.time figcaption,.facts,.read,.absent{font-size:18px}
.pic{max-width:none}
.facts{columns:1}
.facts dl{grid-template-columns:minmax(0,2fr) minmax(0,3fr)}
.uses thead{display:none}
.uses tr{display:block;border-bottom:1px solid var(--line)}
.uses tbody th,.uses tbody td{display:inline-block;white-space:normal;border:0;padding:0 14px 0 0}
.uses td:nth-child(3):not(.blur)::after,.uses td.blur small::before{content:"\\b0"}.uses td:nth-child(4)::before{content:"fills "}
.small{min-width:0;width:100%}.small td:last-child{min-width:0}
.small th,.small td{white-space:normal;padding-right:10px}
.close{margin:0}
}
`;
