// The page works without this. With it calls are heard, and it says whether it is live.
import { goBy, jumped, now, watch } from './clock.js';
import { listen } from './live.js';
import { startCalls } from './calls.js';
import { startScreen } from './screens.js';

const body = document.body;
const $ = (q) => document.querySelector(q);

// page is what a page does when something has changed; day.js sets it.
export const page = { refresh() {} };

goBy(body);

export const parsed = async (answer) => new DOMParser().parseFromString(await answer.text(), 'text/html');

// fetched is this page as the program would show it now.
export async function fetched() {
  const answer = await fetch(location.href, { cache: 'no-store' });
  if (!answer.ok) throw answer;
  const next = await parsed(answer);
  goBy(next.body);
  return next;
}

export function offerPrint() {
  const print = $('#print');
  if (print) { print.hidden = false; print.onclick = () => window.print(); }
}

const changed = () => { page.refresh(); calls.look(); };
const line = listen({
  plan: changed,
  tap: changed,
  alert: (data) => { calls.ring(data); changed(); },
  resync: (data) => { if (data) jumped(JSON.parse(data).step_ms); changed(); screen.report(); },
  armed: (data) => screen.armed(JSON.parse(data)),
  tab: (m) => screen.tab(m),
  lost: () => screen.tick(),
});
const screen = startScreen(body, line);
export const calls = startCalls(body, screen, now);
addEventListener('pageshow', (e) => { if (e.persisted) changed(); });
document.addEventListener('visibilitychange', () => { if (!document.hidden) changed(); });
watch(() => fetched().catch(() => { /* the bar says so */ }));
offerPrint();

if (location.hash.length > 1 && $('.problem')) document.getElementById(decodeURIComponent(location.hash.slice(1)))?.focus();
else $('.problem')?.focus();
