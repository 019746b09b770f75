// What this screen can do for a call, said honestly here and to every other
// screen: whether it gives sound, stays lit, is in view.
import { able, again, ask, show as notify } from './notify.js';

const every = 20000; // ms between reports
const sign = 2000; // ms between an armed tab's signs
const $ = (q) => document.querySelector(q);
const say = (q, text) => { const el = $(q); if (el.textContent !== text) el.textContent = text; };
const kept = (key, value, where = 'localStorage') => {
  try { if (value === undefined) return window[where][key] ?? ''; window[where][key] = value; } catch { return ''; }
};
const keptArmed = (value) => kept('armed', value, 'sessionStorage'); // else it is armed by hand on each page

export function startScreen(body, line) {
  const box = $('#armed');
  if (!box) return { play() {}, hush() {}, tick() {}, report() {}, armed() {}, tab() {}, notify() {} }; // a rehearsal
  const id = kept('screen') || Math.random().toString(36).slice(2) + Date.now().toString(36);
  kept('screen', id);
  const device = /iPhone|Android.*Mobile/.test(navigator.userAgent) ? 'phone' : /iPad|Android/.test(navigator.userAgent) ? 'tablet' : 'computer';
  const sounds = {};
  let lock = null, elsewhere = 0, spoke = 0, since = 0, playing = null, calling = false, lost = false;

  const armed = () => body.dataset.armed === '1';
  const audio = (name) => (sounds[name] ??= new Audio(`${body.dataset.assets}${name}.wav`));
  const play = async (name, volume = 1) => {
    try {
      playing?.pause();
      playing = audio(name);
      playing.currentTime = 0;
      playing.volume = volume;
      await playing.play();
      return true;
    } catch (e) { return e.name === 'AbortError'; } // the next sound came first
  };

  const keepAwake = async () => {
    if (!isSecureContext || !navigator.wakeLock || document.hidden) return;
    try { lock = await navigator.wakeLock.request('screen'); lock.addEventListener('release', report); } catch { lock = null; }
  };

  // of all tabs of a browser the armed one speaks, else the one with the stream
  const report = async (leaving) => {
    if (!armed() && (Date.now() - elsewhere < 3 * sign || !line.leads() && leaving !== true)) return;
    spoke = Date.now();
    const flag = (b) => (b ? '1' : '');
    const fields = {
      id, name: kept('name') || device, heard: kept('heard'), late: flag(kept('late')),
      visible: flag(!document.hidden), sound: flag(armed()), awake: flag(lock && !lock.released), lost: flag(lost),
    };
    try {
      const r = await fetch('/screens', { method: 'POST', body: new URLSearchParams(fields) });
      if (!r.ok) return;
      const a = await r.json();
      tell(a);
      line.say({ name: 'armed', data: JSON.stringify(a) });
    } catch { /* the bar says so */ }
  };

  const words = (s) => {
    const can = [];
    if (!s.visible) can.push('hidden');
    can.push(s.lost ? 'sound lost, wants a touch' : !s.sound ? 'no sound' : s.heard === 'no' ? 'sound not heard' : 'sound');
    if (s.late && s.sound) can.push('only what has waited');
    if (s.visible) can.push(s.awake ? 'screen kept on' : 'screen may go dark');
    return `${s.name}${s.id === id ? ' (this)' : ''}: ${can.join(', ')}`;
  };
  // as web/live judges it
  const sure = (s) => s.visible && s.sound && s.heard !== 'no' && !s.late;
  // summary says in one sentence who can ring, and first of all who no longer can.
  const summary = (all) => {
    const lost = all.find((s) => s.lost);
    if (lost) return lost.id === id ? 'This screen lost its sound' : `${lost.name} lost its sound`;
    const others = all.filter((s) => s.id !== id && sure(s));
    if (all.some((s) => s.id === id && sure(s))) {
      return others.length ? `This screen and ${others.length} other${others.length > 1 ? 's' : ''} can ring` : 'This screen can ring';
    }
    if (others.length) return others.length > 1 ? `${others.length} other screens can ring` : `${others[0].name} can ring`;
    return all.some((s) => s.sound) ? 'No screen is sure to be heard' : 'No screen can ring yet';
  };
  // tell shows how all screens are; on every page it is said when a call is near
  // and none of them is sure to be heard.
  const tell = (a) => {
    say('#ringing', summary(a.screens));
    $('#screens').replaceChildren(...a.screens.map((s) => Object.assign(document.createElement('li'), { textContent: words(s) })));
    $('#unheard').hidden = !a.next;
    say('#unheard', a.next ? `A call comes in ${Math.max(0, Math.round((a.next - a.now) / 60000))} min, and no screen in view has its sound on. Press Start the day.` : '');
  };

  const dress = () => say('#arm', armed() ? 'Test the sound' : 'Start the day');
  const arm = async (sound, volume) => {
    calling = false;
    if (!await play(sound, volume)) return armed() && mute();
    body.dataset.armed = '1';
    if (lost) say('#arm-note', '');
    lost = false;
    since = Date.now();
    keptArmed('1');
    line.say({ armed: since });
    await keepAwake();
    dress();
    report();
    return true;
  };
  const disarm = () => { delete body.dataset.armed; keptArmed(''); dress(); };

  $('#arm').addEventListener('click', async () => {
    const ok = await arm('a');
    $('#heard').hidden = !ok;
    say('#arm-note', [
      ok ? '' : 'The browser gave no sound: check its volume and permissions.',
      await ask() ? '' : able() ? 'Notifications are not allowed here; calls come by sound and on this page.'
        : 'Over plain http from another machine there are no notifications and the screen cannot be kept on: leave this page open, set the screen never to lock.',
    ].join(' '));
  });
  for (const b of document.querySelectorAll('[data-heard]')) {
    b.addEventListener('click', () => {
      kept('heard', b.dataset.heard);
      $('#heard').hidden = true;
      say('#arm-note', b.dataset.heard === 'no' ? 'Turn the volume up or move the screen nearer, then test again.' : '');
      report();
    });
  }
  const name = $('#screen-name'), late = $('#screen-late');
  name.value = kept('name') || device;
  late.checked = !!kept('late');
  name.addEventListener('change', () => { kept('name', name.value.trim()); report(); });
  late.addEventListener('change', () => { kept('late', late.checked ? '1' : ''); report(); });

  // mute says that the browser gives no sound any more, until it is touched.
  const touches = ['pointerdown', 'keydown'];
  const touched = () => { for (const t of touches) removeEventListener(t, touched); arm('tick', 0.2); };
  const mute = () => {
    delete body.dataset.armed;
    lost = true;
    say('#arm-note', 'Touch anywhere to turn the sound on again.');
    for (const t of touches) addEventListener(t, touched);
    dress();
    report(true);
  };
  // armed before on another page of this tab: most browsers go on with the sound,
  // others want a touch
  const resume = async () => {
    if (keptArmed() && !await arm('tick', 0.2)) mute();
  };
  const soon = () => setTimeout(report, 800); // by then one tab has the stream
  document.addEventListener('visibilitychange', async () => {
    if (armed()) await keepAwake();
    if (document.hidden && Date.now() - spoke < 2 * every) report(true);
    soon();
  });
  addEventListener('pagehide', () => {
    if (Date.now() - spoke > 2 * every) return;
    navigator.sendBeacon('/screens', new URLSearchParams({ id, gone: '1' }));
  });
  setInterval(report, every);
  setInterval(() => { if (armed()) line.say({ armed: since }); }, sign);
  soon();
  box.classList.remove('off');
  dress();
  again();
  resume();

  return {
    armed: tell,
    report: () => setTimeout(report, Math.max(0, elsewhere + 3 * sign - Date.now()) + 100),
    hush: () => { if (calling) playing.pause(); calling = false; }, // never the sound of a test
    play: async (cls, everywhere) => {
      if (!armed() || kept('late') && !everywhere) return;
      calling = true;
      if (!await play(cls.toLowerCase())) mute();
      navigator.vibrate?.(cls === 'A' ? [300, 100, 300, 100, 300] : [200]);
    },
    tick: () => { if (armed()) play('tick'); },
    // another tab has come, or is armed: the one armed last sounds
    tab: (m) => {
      if (m.ask) report();
      if (m.armed) { elsewhere = Date.now(); if (armed() && m.armed > since) disarm(); }
    },
    notify: (notes) => { if (armed() || lost) notify(notes); }, // all the more where the sound is lost
  };
}
