// Calls: what the server says wants something now is set into the page. It rings at
// the server's word; with the line lost, by what was told to come.
import { lifted } from './finger.js';
import { keep } from './focus.js';
import { note } from './notify.js';

const after = [0, 20, 60].map((s) => s * 1000);

export function startCalls(body, screen, now) {
  const place = document.querySelector('#calls');
  const title = document.title;
  const own = body.dataset.day;
  let last = '', told = '', since = +now(), other = ''; // a day that rings and is not this page's

  // ask gives what wants something on a day, and how many calls ring.
  const ask = async (day) => {
    const answer = await fetch(`/days/${day}/calls`);
    if (!answer.ok) throw answer;
    const text = await answer.text();
    const box = new DOMParser().parseFromString(text, 'text/html').querySelector('#calls-now');
    return { text, box, n: +box.dataset.count, notes: [...box.querySelectorAll('.call[data-rings]')].map((c) => note(c, day)) };
  };

  const look = async () => {
    try {
      const here = own ? await ask(own) : {}, there = other ? await ask(other) : {};
      point(there.n);
      if (here.box) await show(here);
      const n = (here.n ?? 0) + (there.n ?? 0);
      document.title = n ? `● ${n} – ${title}` : title;
      if (!n) screen.hush();
      screen.notify([...here.notes ?? [], ...there.notes ?? []]);
    } catch { /* the bar says so */ }
  };

  const show = async ({ text, box }) => {
    // only a real change is set in, and more than minutes gone by is read out
    const bare = text.replace(/name="key" value="[^"]*"|data-coming="[^"]*"/g, '');
    place.dataset.coming = box.dataset.coming;
    await lifted();
    if (bare === last) return;
    last = bare;
    const words = Array.from(box.querySelectorAll('.what'), (e) => e.textContent.replace(/(?<!:)\b\d+\b(?!:)/g, '')).join();
    place.ariaLive = words === told ? 'off' : 'assertive';
    told = words;
    set(box);
  };

  // a day of another page is only pointed to, while it rings
  const bar = document.querySelector('#rings');
  const point = (n) => {
    bar.hidden = !n;
    bar.href = `/days/${other}/now`;
    bar.textContent = n ? `● ${n} ${n > 1 ? 'calls ring' : 'call rings'}${own ? ' on another day' : ''}: open Now` : '';
    if (!n) other = '';
  };

  // the page leaves room at its foot for the bar, which covers nothing focused
  const measure = new ResizeObserver(() => {
    const list = place.querySelector('.calls');
    const takes = list && getComputedStyle(list).position === 'fixed' ? list.offsetHeight : 0;
    document.documentElement.style.setProperty('--calls', `${takes}px`);
    document.querySelector(':focus-visible')?.scrollIntoView({ block: 'nearest' });
  });

  // fold puts the ways to put a call off behind a word, which stays open.
  const fold = (call) => {
    const off = call.querySelectorAll('[data-kind=snooze]');
    if (!off.length) return;
    const more = Object.assign(document.createElement('details'), {
      open: !!place.querySelector(`[data-call="${call.dataset.call}"] details[open]`),
    });
    more.innerHTML = '<summary>Put off</summary><div class="acts"></div>';
    more.lastChild.append(...off);
    call.append(more);
  };

  const set = (box) => {
    const cards = body.dataset.tab === 'now';
    let left = false;
    for (const c of box.querySelectorAll('.call')) {
      // what cards of the page show is only said
      if (cards && !c.matches('.choose,.standing')) {
        for (const f of c.querySelectorAll('form:not([data-kind=snooze])')) f.remove();
        fold(c);
      }
      left ||= !!c.querySelector('form');
    }
    place.classList.toggle('sr', cards && !left);
    keep(() => place.replaceChildren(box));
    measure.disconnect();
    measure.observe(box);
    for (const list of box.querySelectorAll('.calls')) measure.observe(list);
  };
  place.addEventListener('click', (e) => { e.target.closest('[data-shrink]')?.closest('.call').classList.remove('choose'); });
  // what lies over the focus goes: the first key only uncovers it
  const uncover = (e) => {
    const all = place.querySelectorAll('.choose'), at = document.activeElement;
    if (!all.length || e.key !== 'Escape' && (place.contains(at) || at === body)) return;
    for (const c of all) c.classList.remove('choose');
    if (['Enter', ' '].includes(e.key) && !at.matches('input,textarea')) e.preventDefault();
  };
  for (const on of ['keydown', 'focusin']) addEventListener(on, uncover);

  const alone = () => {
    const t = +now();
    if (body.dataset.line === 'lost') {
      for (const ring of (place.dataset.coming ?? '').split(',').filter(Boolean)) {
        const [at, cls] = ring.split(' ');
        if (after.some((d) => +at + d > since && +at + d <= t)) screen.play(cls, true);
      }
    }
    since = t;
  };
  setInterval(alone, 1000);
  look();

  return {
    look,
    ring: (data) => {
      const e = JSON.parse(data);
      screen.play(e.class, e.everywhere);
      other = e.calls.map((c) => `${c.day}`).find((day) => day !== own) ?? other;
    },
  };
}
