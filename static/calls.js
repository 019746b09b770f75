// Calls: what the server says wants something now is set into the page, and the
// most urgent unanswered one is heard. Truth lies on the server; here it is only
// shown and played.
const again = { A: [15], B: [20, 40, 120], C: [] }; // seconds until heard again

export function startCalls(body) {
  const place = document.querySelector('#calls');
  const armed = document.querySelector('#armed');
  const state = document.querySelector('#armed-state');
  const arm = document.querySelector('#arm');
  if (!armed) return { look() {} };
  const title = document.title;
  const sounds = {};
  let unlocked = false, lock = null, playing = { class: '', times: 0, next: 0 }, last = '';

  const audio = (name) => (sounds[name] ??= new Audio(`${body.dataset.assets}${name}.wav`));
  const play = async (name) => {
    try { const a = audio(name); a.currentTime = 0; await a.play(); return true; } catch { return false; }
  };

  // honest: each of the three, not one green light for all
  const show = () => {
    const mark = (ok, word) => `${ok ? '✓' : '✗'} ${word}`;
    state.textContent = body.dataset.armed
      ? ['Armed:', mark(unlocked, 'sound'), mark(lock && !lock.released, 'screen kept on'), mark(!document.hidden, 'in view')].join(' ')
      : '';
  };

  const keepAwake = async () => {
    // over plain http from another machine there is no wake lock: say so, never pretend
    if (!isSecureContext || !navigator.wakeLock) return;
    try { lock = await navigator.wakeLock.request('screen'); lock.addEventListener('release', show); } catch { lock = null; }
  };

  arm.addEventListener('click', async () => {
    unlocked = await play('a');
    if (unlocked) body.dataset.armed = '1';
    await keepAwake();
    show();
    state.textContent += unlocked
      ? ' Could you hear it at the mixer with it running?'
      : ' The browser gave no sound; check its volume and permissions.';
    arm.textContent = 'Test the sound';
  });
  document.addEventListener('visibilitychange', () => { if (!document.hidden && body.dataset.armed) keepAwake().then(show); show(); });

  // ring plays the worst class in its own rhythm until somebody answers.
  const ring = () => {
    const box = document.querySelector('#calls-now');
    const worst = box?.dataset.class ?? '';
    const n = Number(box?.dataset.count ?? 0);
    document.title = n ? `● ${n} – ${title}` : title;
    if (!worst) { playing = { class: '', times: 0, next: 0 }; return; }
    if (playing.class !== worst) playing = { class: worst, times: 0, next: 0 };
    if (Date.now() < playing.next) return;
    const waits = again[worst];
    const wait = waits[Math.min(playing.times, waits.length - 1)];
    playing.next = wait ? Date.now() + wait * 1000 : Infinity;
    playing.times++;
    if (body.dataset.armed) { play(worst.toLowerCase()); navigator.vibrate?.(worst === 'A' ? [300, 100, 300] : [200]); }
    else play('tick');
  };

  const look = async () => {
    if (!body.dataset.day) return;
    try {
      const answer = await fetch(`/days/${body.dataset.day}/calls`);
      if (!answer.ok) return;
      const text = await answer.text();
      // keys of buttons differ every time; only a real change is set in, so that
      // a screen reader is not told the same thing twice
      const bare = text.replace(/name="key" value="[^"]*"/g, '');
      if (bare !== last) {
        last = bare;
        const doc = new DOMParser().parseFromString(text, 'text/html');
        // where the cards already show what is due, it is only said
        if (body.dataset.tab === 'now') for (const f of doc.querySelectorAll('form')) f.remove();
        place.classList.toggle('sr', body.dataset.tab === 'now');
        place.replaceChildren(...doc.body.childNodes);
      }
      ring();
    } catch { /* the bar says so */ }
  };

  armed.hidden = false;
  show();
  look();
  setInterval(ring, 1000);
  return { look };
}
