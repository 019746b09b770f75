// Notifications with buttons, where the browser has them.
let worker = null;

export const able = () => isSecureContext && 'serviceWorker' in navigator && 'Notification' in window;

const granted = () => able() && Notification.permission === 'granted';

// again takes up what was granted before.
export async function again() {
  if (granted()) worker ??= await navigator.serviceWorker.register('/sw.js').catch(() => null);
}

// ask must be called from a touch.
export async function ask() {
  if (able()) await Notification.requestPermission();
  await again();
  return granted() && !!worker;
}

const form = (el) => el && { to: el.getAttribute('action'), fields: [...new FormData(el)] };

// note is what a card that rings says and asks, taken from it as it came: the
// page may show it without its buttons.
export const note = (c, day) => {
  const done = form(c.querySelector('form[data-kind=done],form[data-kind=start]'));
  const ack = form(c.querySelector('form[data-kind=ack]'));
  return {
    tag: `call-${c.dataset.call}`, said: [...c.querySelectorAll('.what p')].map((p) => p.textContent.trim()),
    data: { class: c.dataset.class, version: new Map((done ?? ack)?.fields).get('version'), page: `/days/${day}/now`, forms: { done, ack } },
  };
};

// show makes the open notifications those that ring; only what is new or more
// urgent makes itself known.
export async function show(notes) {
  if (!worker || !granted()) return;
  const reg = await navigator.serviceWorker.ready;
  const open = new Map((await reg.getNotifications()).map((n) => [n.tag, n]));
  for (const { tag, said, data } of notes) {
    const was = open.get(tag)?.data;
    open.delete(tag);
    const known = was?.class === data.class;
    if (known && was.version === data.version) continue;
    const actions = [{ action: 'done', title: 'Done' }, { action: 'ack', title: 'On it' }].filter((a) => data.forms[a.action]);
    await reg.showNotification(said[0].split(',')[0], {
      body: said.join('\n'), tag, renotify: !known, silent: known, requireInteraction: data.class === 'A', actions, data,
    });
  }
  for (const [tag, n] of open) if (tag.startsWith('call-')) n.close();
}
