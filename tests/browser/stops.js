// Each stop of the keyboard on a page: reached in its order, seen when it has the focus, not hidden.
() => {
  const said = new Set();
  const named = e => `${e.tagName.toLowerCase()} “${(e.getAttribute('aria-label') || e.textContent || e.name || '').trim().replace(/\s+/g, ' ').slice(0, 40)}”`;
  const first = e => { // of the radios of one name the keyboard stops at one
    const group = [...(e.form || document).querySelectorAll(`input[type=radio][name="${CSS.escape(e.name)}"]`)];
    return group.find(other => other.checked) || group[0];
  };
  const stops = [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex], video, audio')].filter(e =>
    e.tabIndex >= 0 && !e.disabled && e.type !== 'hidden' && e.getClientRects().length && e.checkVisibility({visibilityProperty: true}) &&
    !(e.type === 'radio' && first(e) !== e));
  const shown = e => { const box = e.getBoundingClientRect(), style = getComputedStyle(e);
    return box.width > 4 && box.height > 4 && style.opacity !== '0' && !/inset\(50%\)/.test(style.clipPath); };
  const ringed = e => { const style = getComputedStyle(e); return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 && style.clipPath === 'none'; };
  const coat = e => { const style = getComputedStyle(e); return style.backgroundColor + style.borderColor + style.color; };
  const bar = document.querySelector('.bar');
  let before = null;
  for (const e of stops) {
    if (e.tabIndex > 0) said.add(`out of its order: ${named(e)}`);
    if (document.activeElement) document.activeElement.blur();
    const plain = coat(e);
    e.focus();
    if (document.activeElement !== e) { said.add(`cannot be reached: ${named(e)}`); continue; }
    const camera = e.closest('.camera'), strip = e.closest('.strip');
    const bearers = [e, e.labels && e.labels[0], e.closest('label, .slot, .choice'), e.parentElement, camera && camera.querySelector('.take')];
    // What is cut to a shape, and what is drawn, shows it by its colour.
    const bearer = bearers.find(each => each && shown(each) && ringed(each)) || (shown(e) && (coat(e) !== plain || strip) ? e : null);
    if (!bearer) { said.add(`not seen to have the focus: ${named(e)}`); continue; }
    const box = bearer.getBoundingClientRect();
    const at = [[.5, .5], [.1, .2], [.9, .2], [.1, .8], [.9, .8], [.5, .02]].map(([x, y]) => [box.left + box.width * x, box.top + box.height * y]);
    const isSeen = at.some(([x, y]) => { const top = document.elementFromPoint(x, y);
      return top && (bearer.contains(top) || bearer.parentElement.contains(top)) && !(top.closest('.bar') && !e.closest('.bar')); });
    if (!isSeen) said.add(`hidden as it has the focus: ${named(e)}`);
    // Of a text of several lines browsers show the one that is written in.
    if (bar && !bar.contains(e) && !e.matches('textarea') && bar.checkVisibility() && box.height < innerHeight / 4 && box.bottom > bar.getBoundingClientRect().top + 1)
      said.add(`under the bar: ${named(e)}`);
    const place = e.closest('li, form, section, article, nav, header, tr, dl');
    if (before && before.place === place && box.bottom + scrollY <= before.top - 4 && box.left <= before.left + 4) said.add(`reads backwards: ${named(e)}`);
    before = {place, top: box.top + scrollY, left: box.left};
  }
  return [...said];
}
