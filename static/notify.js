// Notifications with buttons, where the browser has them.
let worker = null;

export const able = () => isSecureContext && 'serviceWorker' in navigator && 'Notification' in window;

// ask must be called from a touch.
export async function ask() {
  if (!able()) return false;
  try {
    if (await Notification.requestPermission() !== 'granted') return false;
    worker = await navigator.serviceWorker.register('/sw.js');
    return true;
  } catch { return false; }
}

// again takes up what was granted before.
export async function again() {
  if (able() && Notification.permission === 'granted') worker ??= await navigator.serviceWorker.register('/sw.js').catch(() => null);
}

const form = (el) => el && { to: el.getAttribute('action'), fields: [...new FormData(el)] };

// show makes the open notifications those of the cards that ring; only what is
// new makes itself known.
export async function show(cards, page) {
  if (!worker) return;
  const reg = await navigator.serviceWorker.ready;
  const open = new Map((await reg.getNotifications()).map((n) => [n.tag, n]));
  for (const c of cards) {
    const tag = `call-${c.dataset.call}`;
    const said = c.querySelector('.what').innerText.trim();
    const was = open.get(tag);
    open.delete(tag);
    if (was?.data.class === c.dataset.class) continue;
    const forms = { done: form(c.querySelector('form[data-kind=done],form[data-kind=start]')), ack: form(c.querySelector('form[data-kind=ack]')) };
    const actions = [{ action: 'done', title: 'Done' }, { action: 'ack', title: 'On it' }].filter((a) => forms[a.action]);
    await reg.showNotification(said.split(',')[0], {
      body: said, tag, renotify: true, requireInteraction: c.dataset.class === 'A', actions, data: { forms, page, class: c.dataset.class },
    });
  }
  for (const [tag, n] of open) if (tag.startsWith('call-')) n.close();
}
