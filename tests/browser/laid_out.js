// What does not fit on a page: wider than the screen, cut off, running over, too small to be hit.
() => {
  const said = new Set();
  const named = e => `${e.tagName.toLowerCase()}.${e.className || ''} “${(e.textContent || e.value || '').trim().replace(/\s+/g, ' ').slice(0, 40)}”`;
  // Said to those who listen; a heading of columns where each cell says its own; a rule that is moved along.
  const clipped = e => { for (let at = e; at; at = at.parentElement) if (/inset\(50%\)/.test(getComputedStyle(at).clipPath)) return true; return false; };
  const aside = e => e.closest('.unseen, .skip, thead, .days, .scripted .camera') || clipped(e);
  const seen = e => !(e instanceof SVGElement) && !aside(e) && e.checkVisibility({visibilityProperty: true});
  const over = document.documentElement.scrollWidth - innerWidth;
  if (over > 0) {
    const wide = [...document.body.querySelectorAll('*')].filter(e => seen(e) && e.getBoundingClientRect().right > innerWidth + 1);
    const inner = wide.filter(e => !wide.some(other => other !== e && e.contains(other)));
    said.add(`too wide by ${over} px: ${inner.slice(0, 2).map(named).join(', ')}`);
  }
  for (const e of document.body.querySelectorAll('*')) {
    if (!seen(e) || !e.clientWidth || !e.textContent.trim()) continue;
    const style = getComputedStyle(e), past = e.scrollWidth - e.clientWidth;
    const isCut = /hidden|clip/.test(style.overflowX) && past > 1;
    const runsOver = style.overflowX === 'visible' && !/^inline$|contents/.test(style.display) && past > 4 &&
      e.matches('a, button, summary, h1, h2, h3, p, dt, dd, th, td, label, legend');
    if (isCut) said.add(`cut off by ${past} px: ${named(e)}`);
    if (runsOver) said.add(`runs over by ${past} px: ${named(e)}`);
  }
  for (const e of document.body.querySelectorAll('a[href], button, summary, input, select, textarea')) {
    const box = (e.closest('label') || e).getBoundingClientRect();
    // Within a sentence a line is as high as it is (WCAG 2.5.8, inline).
    const isText = getComputedStyle(e).display === 'inline' && !e.matches('input, select, textarea, button');
    if (!seen(e) || !box.width || isText) continue;
    if (box.width < 23.9 || box.height < 23.9) said.add(`small, ${Math.round(box.width)} × ${Math.round(box.height)}: ${named(e)}`);
  }
  return [...said];
}
