// What a page of a day does beside: what changes comes by itself, the hour line moves,
// a tap answers at once.
import { now, rehearsal } from './clock.js';
import { lifted } from './finger.js';
import { head, keep } from './focus.js';
import { calls, fetched, offerPrint, page, parsed } from './ovenward.js';

const body = document.body;
const $ = (q, root = document) => root.querySelector(q);

// what a page holds for browsers without scripts would be there twice
const bared = (doc) => { for (const n of doc.querySelectorAll('main noscript')) n.remove(); return doc; };
bared(document);
const main = $('#main');

// refresh fetches this page again and sets in what has changed. A page on which
// something may be typed is left alone.
let running = false, again = false, held = false;
const bare = (el) => el?.outerHTML.replace(/name="key" value="[^"]*"/g, '') ?? ''; // keys differ every time
let shown = bare(main) + bare($('.undo'));
page.refresh = refresh;
async function refresh() {
  if (held || !main.hasAttribute('data-live')) return;
  if (running) { again = true; return; }
  running = true;
  try {
    const next = bared(await fetched());
    await lifted();
    set(next);
  } catch { /* the bar says that the line is lost */ } finally { running = false; }
  if (again) { again = false; await refresh(); }
}

function set(next) {
  if (body.dataset.assets !== next.body.dataset.assets) { location.reload(); return; }
  const fresh = bare($('#main', next)) + bare($('.undo', next));
  if (fresh === shown) return;
  shown = fresh;
  const box = ribbons();
  const scroll = box && [box.scrollLeft, box.scrollTop];
  const foot = $('#foot'), fresher = $('#foot', next);
  if (foot && fresher && foot.href !== fresher.href) foot.href = fresher.href;
  keep(() => {
    main.replaceChildren(...$('#main', next).childNodes);
    const undo = $('.undo', next);
    $('.undo')?.remove();
    if (undo) $('footer').before(undo);
  });
  if (scroll) ribbons()?.scrollTo(...scroll);
  enhance();
}

// ribbons is the one drawing of the two that this screen shows.
const ribbons = () => [...document.querySelectorAll('.ribbons')].find((el) => el.offsetParent);

// enhance wires what a page may hold.
function enhance() {
  offerPrint();
  const box = ribbons(), chip = box && $('.nowchip', box), back = $('#tonow');
  if (!chip) return;
  if (back) { back.classList.remove('off'); back.onclick = () => chip.scrollIntoView({ block: 'center', inline: 'nearest' }); }
  if (!box.dataset.seen) { box.dataset.seen = '1'; box.scrollTo({ top: chip.getBBox().y - box.clientHeight / 3 }); }
}

// Whoever reads slowly may hold the page; calls still come.
const hold = $('#hold');
if (hold) {
  hold.hidden = false;
  hold.onclick = () => {
    held = !held;
    hold.setAttribute('aria-pressed', held);
    if (!held) refresh();
  };
}

// A row of the table and its shape in the drawing point at each other.
document.addEventListener('click', (e) => {
  const at = e.target.closest?.('[data-t]');
  if (!at || e.target.closest('button,a,form')) return;
  for (const el of document.querySelectorAll('.marked')) el.classList.remove('marked');
  for (const el of document.querySelectorAll(`[data-t="${CSS.escape(at.dataset.t)}"]`)) el.classList.add('marked');
});

// A tap answers at once: the button says so while the server writes it down.
document.addEventListener('submit', async (e) => {
  const f = e.target;
  if (!f.matches('.act,.undo')) return;
  e.preventDefault();
  const button = $('button', f);
  if (button.ariaDisabled) return;
  button.ariaDisabled = 'true'; // not disabled: that would take the focus from it
  try {
    const answer = await fetch(f.action, { method: 'POST', body: new URLSearchParams(new FormData(f)) });
    if (!answer.ok) {
      const next = await parsed(answer);
      if (!$('main', next)) throw answer;
      document.documentElement.replaceWith(next.documentElement);
      head();
      return;
    }
    if (answer.url.endsWith('/choices')) { location.assign(answer.url); return; }
    shown = ''; // its key is used up
    await refresh();
    calls.look();
  } catch {
    button.ariaDisabled = null;
    $('#offline').hidden = false;
    $('#offline').textContent = 'That tap did not reach the program. Tap again when it answers.';
  }
});

// The clock and the hour line: once a minute the page is fetched again, so that
// what is due moves up; a rehearsal stands still.
let minute = now().getUTCMinutes();
setInterval(() => {
  const m = now().getUTCMinutes();
  if (m === minute || document.hidden || rehearsal) return;
  minute = m;
  refresh();
}, 1000);

// Unsaved work is not left by accident.
const form = $('form#planform');
let dirty = false;
form?.addEventListener('input', () => { dirty = true; });
form?.addEventListener('submit', () => { dirty = false; });
addEventListener('beforeunload', (e) => { if (dirty) e.preventDefault(); });

enhance();
