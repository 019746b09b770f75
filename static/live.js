// One event stream for the whole browser. A browser opens only six connections
// to a host, so of all tabs one holds the stream and passes events on.
const names = ['plan', 'alert', 'tap', 'resync', 'armed'];
const beat = 2000; // ms between the leader's signs of life
const lost = 3 * beat;

export function listen(handlers) {
  const me = Math.random().toString(36).slice(2);
  const channel = new BroadcastChannel('ovenward');
  const bar = document.querySelector('#offline');
  let leader = '', heard = 0, source = null, since = null;

  const handle = (name, data) => handlers[name]?.(data);
  const say = (m) => channel.postMessage({ from: me, ...m });

  // line shows whether times on this screen are live.
  const line = (up) => {
    document.body.dataset.line = up ? '' : 'lost';
    if (up) { since = null; bar.hidden = true; return; }
    if (!since) handle('lost');
    since ??= new Date();
    bar.hidden = false;
    bar.textContent = `Not live since ${since.toTimeString().slice(0, 5)}: times may be old. Calls on this screen run from its own clock.`;
  };

  const open = () => {
    if (source || document.hidden && !document.body.dataset.armed) return;
    leader = me;
    source = new EventSource('/events');
    source.onopen = () => { line(true); say({ line: true }); handle('resync'); };
    source.onerror = () => {
      if (source?.readyState === EventSource.CLOSED) { close(); }
      line(false); say({ line: false });
    };
    for (const n of names) {
      source.addEventListener(n, (e) => { handle(n, e.data); say({ name: n, data: e.data }); });
    }
  };
  const close = () => { source?.close(); source = null; if (leader === me) leader = ''; };

  channel.onmessage = ({ data }) => {
    if (data.leader) {
      heard = Date.now();
      // of two leaders the smaller name stays
      if (source && data.leader < me) { close(); }
      if (!source) leader = data.leader;
    }
    if (data.ask && source) say({ leader: me });
    if (data.bye) { heard = 0; setTimeout(check, Math.random() * 300); }
    if ('line' in data) line(data.line);
    if (data.name) handle(data.name, data.data);
    if (!data.name) handle('tab', data);
  };
  const check = () => {
    if (source) { say({ leader: me }); return; }
    if (Date.now() - heard > lost) open();
  };
  setInterval(check, beat);
  setTimeout(check, 100 + Math.random() * 200);
  say({ ask: true });
  // a tab that is left gives the stream up, so that it can be frozen
  const leave = () => { if (source) { close(); say({ bye: true }); } };
  addEventListener('pagehide', leave);
  document.addEventListener('visibilitychange', () => {
    if (document.hidden && !document.body.dataset.armed) leave(); else check();
  });
  return { say, leads: () => !!source };
}
