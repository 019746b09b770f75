// Calls as notifications of the system: their buttons post what the buttons of
// the page would. Only where the browser lets a worker run: on this machine's
// own address, or over https.
addEventListener('install', () => skipWaiting());
addEventListener('activate', (e) => e.waitUntil(clients.claim()));

const answer = async (form, note) => {
  let why = 'did not reach the program';
  try {
    const r = await fetch(form.to, { method: 'POST', body: new URLSearchParams(form.fields), redirect: 'manual' });
    if (r.ok || r.type === 'opaqueredirect') return;
    why = r.status === 409 ? 'was for a plan that has been replaced' : 'was not taken';
  } catch { /* as it says */ }
  await registration.showNotification(`That tap ${why}`, { body: note.title + '. Open the page and tap there.', tag: note.tag, data: { ...note.data, forms: {} } });
};

addEventListener('notificationclick', (e) => {
  const note = e.notification, form = note.data.forms[e.action];
  note.close();
  e.waitUntil(form ? answer(form, note) : (async () => {
    const open = (await clients.matchAll({ type: 'window', includeUncontrolled: true }))[0];
    return open ? open.focus() : clients.openWindow(note.data.page);
  })());
});
