// The program's clock rules: this screen's may be wrong, may be set, and stands
// still while the screen sleeps. What a baker should know of that is said.
const bar = document.querySelector('#clock');
const far = 3e4; // ms a screen may be off before it is said
const asleep = 15e4; // ms without a tick; a hidden page has one a minute

let offset = 0, event = '';

export const rehearsal = !document.querySelector('#armed'); // its time stands still
export const now = () => new Date(Date.now() + offset);

const span = (ms) => {
  const s = Math.round(Math.abs(ms) / 1000), m = Math.floor(s / 60), h = Math.floor(m / 60);
  return h > 48 ? `${Math.round(h / 24)} days` : h ? `${h} h ${`${m % 60}`.padStart(2, '0')}` : m ? `${m} min` : `${s} s`;
};

const tell = (said = event) => {
  event = said;
  const off = Math.abs(offset) > far && !rehearsal
    ? ` This screen's clock is ${span(offset)} ${offset > 0 ? 'slow' : 'fast'}; times here go by the program's.` : '';
  const text = (event + off).trim();
  bar.hidden = !text;
  if (bar.textContent !== text) bar.textContent = text;
};

// goBy takes the moment at which the program made a page.
export function goBy(page) {
  offset = Date.parse(page.dataset.now) - Date.now();
  tell();
}

// jumped takes by how much the program's own clock has.
export function jumped(step) {
  if (!(Math.abs(step) > 6e4)) return;
  tell(step > 0 ? `The computer slept, or its clock was set on, for ${span(step)}. What came due meanwhile is shown here.`
    : `The computer's clock was set back by ${span(step)}. The plan keeps its times; nothing rings twice.`);
}

// watch notices that this screen has slept. ask has the program say its time:
// where that has moved on as well, it was sleep, else somebody has set this clock.
export function watch(ask) {
  let last = Date.now();
  setInterval(async () => {
    const gap = Date.now() - last, was = offset;
    last = Date.now();
    if (Math.abs(gap) < asleep) return;
    await ask();
    if (gap > 0 && Math.abs(offset - was) < far) tell(`This screen was asleep for ${span(gap)} and rang nothing meanwhile.`);
  }, 1000);
}
