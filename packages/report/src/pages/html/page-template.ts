/** The page itself. Headings of the table are `columns`; `it.view` is what is said of the card. */
export const pageTemplate = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="<%= it.policy %>">
<meta name="viewport" content="width=device-width,initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>goodgate report: <%= it.view.title %></title>
<style><%~ it.style %></style>
<script><%~ it.early %></script>
</head>
<body>
<a class="skip" href="#clips">Skip to the clips</a>
<svg class="defs" aria-hidden="true" width="0" height="0"><defs>
<pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse"><path class="hatch" d="M-1,7L7,-1M-1,1L1,-1M5,7L7,5"/></pattern>
<pattern id="unseen" width="5" height="5" patternUnits="userSpaceOnUse"><path class="unlooked" d="M-1,6L6,-1M-1,1L1,-1M4,6L6,4"/></pattern>
</defs></svg>
<header class="top"><p><b class="name">goodgate</b> <%= it.view.cardLine %></p></header>
<main>
<section class="answer" aria-labelledby="answer">
<h1 id="answer"><%= it.report.answer.says %></h1>
<% if (it.report.partial) { %><p class="partial">This audit was interrupted: clips it did not reach are listed under “Not looked at”.</p><% } %>
<div class="first">
<% if (it.reshoot.shown.length > 0) { %><section class="again" aria-labelledby="again"><h2 id="again">Reshoot</h2><%~ include("@lines", it.reshoot) %></section><% } %>
<% if (it.report.nextFlight) { %><p class="caution"><%= it.report.nextFlight.caution %></p>
<section class="next" aria-labelledby="next"><h2 id="next">Next settings</h2>
<% if (it.settings.first.length > 0) { %><%~ include("@settings", { rows: it.settings.first }) %><% } %>
<% if (it.settings.more.length > 0) { %><details><summary><%= it.settings.more.length %> more capture <%= it.settings.more.length === 1 ? "rate" : "rates" %></summary><%~ include("@settings", { rows: it.settings.more }) %></details><% } %>
<% for (const line of it.nextSays) { %><p class="soft"><%= line %></p><% } %></section><% } %>
</div>
<ul class="counts"><% for (const c of it.view.counts) { %><li><b><%= c.clips %></b> <%~ include("@verdict", { word: c.verdict }) %></li><% } %></ul>
<p class="soft">Brief: <%= it.view.briefLine %>. <%= it.view.usable %> This report proves no copy: keep the card until one is made and checked.</p>
<% if (it.open.shown.length > 0 || (it.report.unknown ?? []).length > 0) { %><section aria-labelledby="open"><h2 id="open">Not judged</h2><%~ include("@lines", it.open) %>
<% if ((it.report.unknown ?? []).length > 0) { %><ul class="lines"><% for (const u of it.report.unknown) { %><li><%= u.says %> <span class="needs">To judge it: <%= u.supply %></span></li><% } %></ul><% } %></section><% } %>
</section>
<nav aria-label="Parts of this report"><a href="#clips">Clips</a> <% if (it.view.pictures.length > 0) { %><a href="#pictures">Pictures</a> <% } %><a href="#card">Card</a> <a href="#brief">Brief</a> <a href="#audit">Audit</a></nav>
<% if (it.view.pictures.length > 0) { %><section id="pictures" aria-labelledby="pictures-h"><h2 id="pictures-h">The card in pictures</h2>
<p class="key" aria-label="Marks">Marks: <% for (const v of ["clean", "workable", "unknown", "reshoot"]) { %><%~ include("@verdict", { word: v }) %> <% } %></p>
<div class="pics"><% for (const p of it.view.pictures) { %><%~ include("@picture", p) %><% } %></div></section><% } %>
<section id="clips" aria-labelledby="clips-h" tabindex="-1"><h2 id="clips-h">Clips</h2>
<form class="tools" hidden role="search" aria-label="Clips shown">
<fieldset><legend>Verdict</legend><% for (const v of ["reshoot", "unknown", "workable", "clean"]) { %><label class="tick"><input type="checkbox" name="verdict" value="<%= v %>" checked> <%~ include("@verdict", { word: v }) %></label><% } %></fieldset>
<label>Use <select name="use"><option value="">all</option><option value="real time">real time</option><option value="slow">slow</option><option value="none">no clean use</option></select></label>
<label>Rate <select name="rate"><option value="">all</option><% for (const r of it.rates) { %><option><%= r %></option><% } %></select></label>
<label class="sort">Sort <select name="sort"><option value="">as on the card</option><% for (const c of it.columns) { if (c.key) { %><option value="<%= c.key %>"><%= c.name %></option><% } } %></select></label>
<label class="find">Search <input type="search" name="find" autocomplete="off" spellcheck="false"></label>
<button type="reset">Show all</button>
</form>
<p class="shown" role="status"><%= it.shown %></p>
<table class="clips" role="table" aria-labelledby="clips-h"><thead role="rowgroup"><tr role="row">
<% for (const c of it.columns) { %><th role="columnheader" scope="col" class="<%= c.numeric ? "n" : "" %>" <% if (c.key) { %>data-key="<%= c.key %>"<% } %>><span><%= c.name %><% if (c.unit) { %> <small><%= c.unit %></small><% } %></span></th><% } %>
</tr></thead><tbody role="rowgroup">
<% for (const row of it.rows) { %><%~ row %>
<% } %></tbody></table>
<% if (it.rows.length === 0) { %><p>No clips.</p><% } %>
</section>
<section id="sheets" aria-labelledby="sheets-h"><h2 id="sheets-h">Clip by clip</h2>
<% if (it.unprinted) { %><p class="soft"><%= it.unprinted %></p><% } %>
<%~ it.sheets %>
</section>
<section id="card" aria-labelledby="card-h"><h2 id="card-h">The card</h2>
<% if (it.view.findings.length > 0) { %><h3>Findings about the card</h3><ul class="findings"><% for (const f of it.view.findings) { %><%~ include("@finding", f) %><% } %></ul><% } %>
<% if (it.report.card.remarks.length > 0) { %><h3>Remarks</h3><ul class="plain"><% for (const r of it.report.card.remarks.slice(0, 200)) { %><li><b><%= r.kind.replaceAll("-", " ") %></b> <%= r.says %></li><% } %></ul><% } %>
<% if (it.view.fits.length > 0) { %><h3>How many clips play evenly in real time on each timeline rate</h3><table class="small fits"><thead><tr><th scope="col" class="n">fps</th><th scope="col" class="n">Even</th><th scope="col" class="n">After retime</th><th scope="col" class="n">Uneven</th></tr></thead><tbody>
<% for (const f of it.view.fits) { %><tr><th scope="row" class="n"><%= f.rate %><% if (f.chosen) { %> <span class="tag">brief</span><% } %></th><td class="n"><%= f.even %></td><td class="n"><%= f.retime %></td><td class="n"><%= f.uneven %></td></tr><% } %></tbody></table><% } %>
<% if (it.view.sets.length > 0) { %><h3>Sets of stills</h3><ul class="plain"><% for (const s of it.view.sets) { %><li><%= s %></li><% } %></ul><% } %>
<% if (it.view.stills.length > 0) { %><h3>Stills</h3><details><summary><%= it.report.stills.length %> stills</summary><ul class="plain"><% for (const s of it.view.stills) { %><li><b><%= s.name %></b> <% if (s.set) { %><span class="tag"><%= s.set %></span> <% } %><%= s.text %></li><% } %></ul><% if (it.view.hiddenStills > 0) { %><p><%= it.view.hiddenStills %> more stills are in report.json.</p><% } %></details><% } %>
<% if (it.view.skipped.length > 0) { %><h3>Not looked at</h3><details><summary><%= it.report.audit.skipped.length %> files</summary><ul class="plain"><% for (const s of it.view.skipped) { %><li><b><%= s.path %></b> <%= s.why %></li><% } %></ul><% if (it.view.hiddenSkipped > 0) { %><p><%= it.view.hiddenSkipped %> more are in report.json.</p><% } %></details><% } %>
</section>
<section id="brief" aria-labelledby="brief-h"><h2 id="brief-h">Brief in force</h2>
<% if (it.report.brief.source) { %><p class="soft">From <%= it.report.brief.source %>.</p><% } %>
<table class="small brief"><thead><tr><th scope="col">Item</th><th scope="col">Value</th><th scope="col">Stated by</th></tr></thead><tbody>
<% for (const b of it.view.brief) { %><tr><th scope="row"><%= b.label %></th><td><%= b.value %></td><td><% if (b.assumed === undefined) { %>brief or default<% } else { %><span class="tag">assumed</span> <%= b.assumed %><% } %></td></tr><% } %></tbody></table></section>
<section id="audit" aria-labelledby="audit-h"><h2 id="audit-h">How this was read</h2>
<dl class="kv"><% for (const a of it.view.audit) { %><div><dt><%= a.label %></dt><dd><%= a.value %></dd></div><% } %></dl></section>
</main>
<script type="application/json" id="keys"><%~ it.keys %></script>
<% for (const [place, chunk] of it.chunks.entries()) { %><script type="text/plain" id="p<%= place %>"><%~ chunk %></script>
<% } %><script><%~ it.script %></script>
</body>
</html>
`;
