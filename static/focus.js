// What comes in by itself takes nothing from whoever works by keys or by ear: what
// was focused, unfolded, ticked or pushed aside stays so. Of a control that is gone
// the next heading takes its place, never a button a second press would set off.

// names tell controls apart; a call may be joined by others and stays the same.
const names = (el) => {
  const f = el.closest('[data-call] form'), d = f && new FormData(f);
  return f ? [...d.getAll('task'), ...d.getAll('call')].map((task) => `${d.get('kind')} ${d.get('minutes')} ${task}`)
    : [(el.ariaLabel ?? el.textContent) + el.getAttribute('href')];
};
const fold = (el) => el.querySelector('summary')?.textContent.replace(/\d+/g, '');

// head brings whoever lost the place to the next heading.
export function head(scroll = true) {
  const h = document.querySelector('main h2, main h1');
  h.tabIndex = -1;
  h.focus({ preventScroll: !scroll });
}

export function keep(change) {
  const at = document.activeElement, seen = at.matches(':focus-visible');
  const known = names(at);
  const peers = () => [...document.querySelectorAll(at.tagName)].filter((el) => names(el).some((n) => known.includes(n)));
  const nth = peers().indexOf(at);
  const open = [...document.querySelectorAll('main details[open]')].map(fold);
  const ticks = [...document.querySelectorAll('main input[type=checkbox][id]')].map((el) => [el.id, el.checked]);
  const slides = () => [...document.querySelectorAll('main .scroll')];
  const slid = new Map(slides().map((el) => [el.ariaLabel, el.scrollLeft]));
  change();
  for (const el of slides()) el.scrollLeft = slid.get(el.ariaLabel) ?? 0;
  for (const d of document.querySelectorAll('main details')) if (open.includes(fold(d))) d.open = true;
  for (const [id, on] of ticks) { const el = document.getElementById(id); if (el) el.checked = on; }
  if (at.isConnected) return;
  const same = peers()[nth];
  if (!same) { head(seen); return; }
  if (at.hasAttribute('tabindex')) same.tabIndex = at.tabIndex; // a heading that had taken its place
  same.focus({ preventScroll: !seen });
}
