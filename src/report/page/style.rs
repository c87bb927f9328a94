//! How the page looks. Contrasts are checked in a browser by the tests.

pub(in crate::report) const CSS: &str = "
:root{--ink:#1b1f24;--soft:#4a5360;--line:#c9d0d8;--warn:#fff3d6;--edge:#8a5a00}
*{box-sizing:border-box}
body{margin:0;background:#fff;color:var(--ink);font:1rem/1.5 system-ui,sans-serif}
main,footer{max-width:46rem;margin:0 auto;padding:.4rem 1rem 0}
h1{font-size:1.5rem;line-height:1.25;margin:.2rem 0 .6rem}
h2{font-size:1.2rem;margin:1.8rem 0 .5rem;border-bottom:1px solid var(--line);padding-bottom:.2rem}
h3{font-size:1rem;margin:1.2rem 0 .4rem}
p{margin:.4rem 0}
.device{color:var(--soft);margin-top:1rem}
.sure .bar{display:block;max-width:20rem;height:.6rem;border:1px solid var(--soft);margin-top:.3rem}
.sure .bar span{display:block;height:100%;background:var(--soft)}
.steps{padding-left:1.6rem}
.steps li{margin:.6rem 0}
.caution{background:var(--warn);border-left:.3rem solid var(--edge);padding:.4rem .6rem}
table{border-collapse:collapse;width:100%;margin:.5rem 0}
th,td{text-align:left;vertical-align:top;padding:.25rem .6rem .25rem 0;border-bottom:1px solid var(--line)}
td{overflow-wrap:anywhere}
th{font-weight:600;overflow-wrap:break-word}
tbody th{width:33%}
h1,h2{overflow-wrap:anywhere}
figure{margin:.6rem 0}
figcaption,.key{color:var(--soft);font-size:.9rem}
svg{display:block;width:100%;height:auto}
svg text{font:11px system-ui,sans-serif;fill:#1b1f24}
svg .letter{text-anchor:middle;font-weight:600}
.strip{display:flex;flex-wrap:wrap;gap:.6rem;padding:0;margin:.6rem 0;list-style:none}
.strip li{width:6.5rem;font-size:.9rem}
.strip img{display:block;width:6.5rem;height:6.5rem;image-rendering:pixelated;border:1px solid var(--line)}
footer{color:var(--soft);font-size:.9rem;padding-bottom:2rem}
@media(min-width:44rem){svg text{font-size:6px}}
@media print{body{font-size:11pt}h2{break-after:avoid}li,figure,tr,.caution{break-inside:avoid}.bar,.caution,.strip img{print-color-adjust:exact;-webkit-print-color-adjust:exact}svg text{font-size:6px}}
";
