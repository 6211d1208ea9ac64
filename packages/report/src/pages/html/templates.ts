/*
 * The templates of the page. `<%= %>` escapes; `<%~ %>` is used for other templates' output, for outlines (checked to
 * hold nothing but numbers and drawing letters), for the style, the script and the packed sheets only. A test looks for
 * any other use.
 */

/** One picture: every mark of it, and its words below. */
export const pictureTemplate = `<figure class="pic pic-<%= it.id %>">
<figcaption><b><%= it.title %></b> <span><%= it.says %></span><% if (it.hint) { %> <span class="hint"><%= it.hint %></span><% } %></figcaption>
<svg viewBox="0 0 <%= it.width %> <%= it.height %>" role="img" aria-label="<%= it.title %>">
<% for (const m of it.marks) { %>
<% if (m.kind === "path") { %><path class="<%= m.look %>" d="<%~ it.outline(m.d) %>"/>
<% } else if (m.kind === "rect") { %><rect class="<%= m.look %>" x="<%= m.box[0] %>" y="<%= m.box[1] %>" width="<%= m.box[2] %>" height="<%= m.box[3] %>"/>
<% } else { %><text class="<%= m.look %>" x="<%= m.x %>" y="<%= m.y %>"><%= m.text %></text>
<% } } %>
<% for (const v of it.movers ?? []) { %><rect class="mover <%= v.motion.name %>" x="<%= v.motion.places[0] - 1.5 %>" y="<%= v.top %>" width="3" height="<%= v.height %>"/>
<% } %>
</svg>
<% if ((it.movers ?? []).length > 0) { %><button type="button" class="play" hidden aria-pressed="false">Move the bar</button><% } %>
</figure>`;

/** The word of a verdict; the style gives it a mark of its own shape, and colour repeats the shape. */
export const verdictTemplate = `<span class="v <%= it.word %>"><%= it.word %></span>`;

/** One finding with its measured value, limit and remedies. */
export const findingTemplate = `<li class="finding g-<%= it.grade %>">
<p class="says"><span class="grade"><%= it.grade %></span> <%= it.says %></p>
<dl class="kv">
<div><dt>Measured</dt><dd><%= it.measured %></dd></div>
<div><dt>Limit</dt><dd><%= it.limit %></dd></div>
<div><dt>Remedy</dt><dd><%= it.remedy %></dd></div>
<% if (it.onLocation) { %><div><dt>On location</dt><dd><%= it.onLocation %></dd></div><% } %>
<div><dt>In the edit</dt><dd><%= it.inEdit %></dd></div>
<% if (it.use) { %><div><dt>Holds for</dt><dd><%= it.use %></dd></div><% } %>
<% if (it.times) { %><div><dt>At</dt><dd><%= it.times %></dd></div><% } %>
<% if (it.assumed) { %><div><dt>Rests on</dt><dd><span class="tag">assumed</span> <%= it.assumed %></dd></div><% } %>
<% if (it.clips.length > 0) { %><div><dt>Files</dt><dd><%= it.clips.slice(0, 40).join(", ") %><% if (it.clips.length > 40) { %> and <%= it.clips.length - 40 %> more<% } %></dd></div><% } %>
<div><dt>Rule</dt><dd><%= it.rule %></dd></div>
</dl></li>`;

/** The time of a clip below its filmstrip. Places are in % of the width, so that letters keep their size. */
export const barTemplate = `<figure class="time"><svg role="img" aria-label="Time of the clip" height="<%= it.height %>">
<% for (const u of it.unseen) { %><rect class="unseen" x="<%= u.x %>" y="16" width="<%= u.width %>" height="12"/><% } %>
<% for (const l of it.looked) { %><rect class="looked" x="<%= l.x %>" y="16" width="<%= l.width %>" height="12"/><% } %>
<rect class="outline" x="0" y="16" width="100%" height="12"/>
<% for (const t of it.ticks) { %><svg x="<%= t.x %>" y="28" overflow="visible"><path class="tick" d="M0,0V4"/></svg><text class="<%= t.anchor %>" x="<%= t.x %>" y="43"><%= t.text %></text><% } %>
<% for (const lane of it.lanes) { %><% for (const s of lane.stretches) { %><rect class="lost" x="<%= s.x %>" y="<%= lane.top %>" width="<%= s.width %>" height="11"/><% } %><text class="small<% if (lane.lean) { %> end<% } %>" x="<%= lane.wordX %>" dx="<%= lane.lean ? -5 : 5 %>" y="<%= lane.top + 10 %>"><%= lane.word %></text><% } %>
<% for (const m of it.marks) { %><svg x="<%= m.x %>" y="8" overflow="visible"><path class="at-mark at-<%= m.grade %>" d="<%~ it.outline(m.d) %>"/></svg><% } %>
</svg><figcaption><% for (const [place, says] of it.says.entries()) { %><%= says %><%= place + 1 < it.says.length ? "; " : "" %><% } %></figcaption></figure>`;

/** The whole of one clip. */
export const sheetTemplate = `<article class="sheet" id="c<%= it.number %>" tabindex="-1" aria-labelledby="h<%= it.number %>">
<header><%~ include("@verdict", { word: it.verdict }) %><h3 id="h<%= it.number %>"><%= it.base %> <small><%= it.folder %></small></h3></header>
<p class="plan"><b><%= it.plan %></b> <%= it.planDetail %></p>
<% if (it.filmstrip) { %><img class="strip" width="1280" height="288" loading="lazy" alt="Six frames of <%= it.base %>, evenly spread, the third also large" src="data:image/jpeg;base64,<%~ it.filmstrip %>"><% } %>
<% if (it.bar) { %><%~ include("@bar", it.bar) %><% } %>
<% if (it.findings.length > 0) { %><h4>Findings</h4><ul class="findings"><% for (const f of it.findings) { %><%~ include("@finding", f) %><% } %></ul><% } %>
<% if (it.caution) { %><p class="caution"><%= it.caution %></p><% } %>
<% if (it.unknown.length > 0) { %><h4>Not judged</h4><ul class="open"><% for (const u of it.unknown) { %><li><% for (const says of u.says) { %><b><%= says %></b><br><% } %><span class="needs">To judge <%= u.says.length === 1 ? "it" : "them" %>: <%= u.supply %></span><% if (u.decides) { %> <span class="tag">decides the verdict</span><% } %></li><% } %></ul><% } %>
<% if (it.pictures.length > 0) { %><div class="pics"><% for (const p of it.pictures) { %><%~ include("@picture", p) %><% } %></div><% } %>
<% if (it.uses.length > 0) { %><h4>Ways to use it</h4><table class="small uses"><thead><tr><th scope="col">Use</th><th scope="col">Speed</th><th scope="col" class="n">Angle °</th><th scope="col" class="n">Fills min:s</th><th scope="col">Verdict</th><th scope="col">Frames</th></tr></thead><tbody>
<% for (const u of it.uses) { %><tr><th scope="row"><%= u.use %><% if (u.planned) { %> <span class="tag">planned</span><% } %></th><td><%= u.speed %></td><td class="n<% if (u.blur) { %> blur<% } %>"><%= u.angle %><% if (u.blur) { %> <small>blur</small><% } %></td><td class="n"><%= u.fills %></td><td><%= u.verdict %></td><td><%= u.cadence %></td></tr><% } %></tbody></table><% } %>
<details class="box" open><summary>Facts, with where each was read</summary><div class="facts"><% for (const f of it.facts) { %><dl class="f-<%= f.state %>"><dt><%= f.label %></dt><dd><% if (f.state !== "read") { %><i><%= f.state %>:</i> <% } %><%= f.text %><% if (f.origin) { %> <small><%= f.origin %></small><% } %><% if (f.conflict) { %> <b class="conflict">disagrees: <%= f.conflict %></b><% } %></dd></dl><% } %></div>
<% if (it.absent.length > 0) { %><p class="absent"><b>Absent:</b> <% for (const [place, f] of it.absent.entries()) { %><%= f.label %> (<%= f.text %>)<%= place + 1 < it.absent.length ? ", " : "." %><% } %></p><% } %></details>
<h4>Files</h4><ul class="files"><% for (const f of it.files) { %><li><%= f.path %> <small><%= f.role %>, <%= f.bytes %></small></li><% } %><% for (const j of it.joints) { %><li><%= j %></li><% } %></ul>
<p class="read"><% if (it.passed) { %>Asked, nothing found: <%= it.passed %>. <% } %><% if (it.suppressed) { %>Follows from a finding above: <%= it.suppressed %>. <% } %><%= it.read %></p>
</article>`;

/** One line of the table of clips. */
export const rowTemplate = `<tr role="row" id="r<%= it.number %>"><td role="cell"><%~ include("@verdict", { word: it.verdict }) %></td><th role="rowheader" scope="row"><a href="#c<%= it.number %>"><%= it.base %></a> <small><%= it.folder %></small></th><td role="cell" class="n"><%= it.start %></td><td role="cell" class="n"><%= it.length %></td><td role="cell" class="n"><%= it.rate %></td><td role="cell"><%= it.use %></td><td role="cell" class="n"><%= it.percent %></td><td role="cell" class="n<% if (it.blur) { %> blur<% } %>"><%= it.angle %><% if (it.blur) { %> <small>blur</small><% } %></td><td role="cell" class="n"><%= it.iso %></td><td role="cell"><%= it.raster %></td><td role="cell"><%= it.headline %><% if (it.more > 0) { %> <small>+<%= it.more %></small><% } %></td></tr>`;

/** Lines of causes: one clip or several with one cause. */
export const linesTemplate = `<ul class="lines"><% for (const line of it.shown) { %><li><a href="#c<%= line.first.number %>"><%= line.first.base %></a> <%= line.says %><% if (line.needs) { %> <span class="needs">To judge it: <%= line.needs %></span><% } %>
<% if (line.more.length > 0) { %><details><summary><%= line.more.length %> more <%= line.more.length === 1 ? "clip" : "clips" %>, same cause</summary><p><% for (const m of line.more) { %><a href="#c<%= m.number %>"><%= m.base %></a> <% } %></p></details><% } %></li><% } %>
<% if (it.hidden > 0) { %><li><%= it.hidden %> more causes: sort the clips by verdict.</li><% } %></ul>`;

/** Settings for the next flight, one row a capture rate. */
export const settingsTemplate = `<table class="settings" role="table" aria-label="Settings"><thead role="rowgroup"><tr role="row"><th role="columnheader" scope="col" class="n">Rate fps</th><th role="columnheader" scope="col" class="n">Shutter s</th><th role="columnheader" scope="col" class="n">ND</th><th role="columnheader" scope="col" class="n">ISO</th><th role="columnheader" scope="col" class="n">Angle °</th><th role="columnheader" scope="col">Serves</th></tr></thead><tbody role="rowgroup">
<% for (const s of it.rows) { %><tr role="row" class="<%= s.possible ? "can" : "cannot" %>"><td role="cell" class="n"><%= s.rate %></td><td role="cell" class="n"><%= s.shutter %></td><td role="cell" class="n"><%= s.nd %></td><td role="cell" class="n"><%= s.iso %></td><td role="cell" class="n"><%= s.angle %></td><td role="cell"><% if (!s.possible) { %><b>not in this light</b> <% } %><%= s.uses %><% if (s.cannot) { %> <i><%= s.cannot %></i><% } %></td></tr>
<% } %></tbody></table>`;
