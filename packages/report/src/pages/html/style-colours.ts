/** Colours as variables: light, dark, more contrast, and the system's own where it forces them. */
export const colourStyle = `
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
