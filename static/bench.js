// Beside the form of a bread: what the formula comes to, while it is typed. Without
// this the button “Check” asks the same of the server.
const form = document.querySelector('form[data-tally]');

// follow keeps a part of the page in step with the form: asked for again when
// nothing was typed for a while, the question before it dropped.
function follow(at, pause) {
  let timer, asked;
  async function put() {
    asked?.abort();
    asked = new AbortController();
    try {
      const answer = await fetch(at, { method: 'POST', body: new URLSearchParams(new FormData(form)), signal: asked.signal });
      if (!answer.ok) return;
      const next = new DOMParser().parseFromString(await answer.text(), 'text/html');
      for (const part of [...next.body.children]) document.getElementById(part.id)?.replaceWith(part);
    } catch { /* what was said stays; the bar says that the line is lost */ }
  }
  form.addEventListener('input', () => {
    clearTimeout(timer);
    timer = setTimeout(put, pause);
  });
  return put;
}

// What one cup weighs is asked only where something is measured.
function ask(field) {
  const each = field.closest('.row').querySelector('[data-each]');
  const measured = /\p{L}/u.test(field.value.toLowerCase().replaceAll(/kg|g|%/g, ''));
  if (each) each.hidden = !measured && !each.querySelector('input').value;
}

form?.addEventListener('input', (e) => {
  if (e.target.matches('[data-amount]')) ask(e.target);
});
if (form) follow(form.dataset.tally, 400); // ms of not typing
if (form?.dataset.ribbon) {
  const forecast = follow(form.dataset.ribbon, 800); // dearer for the server than the figures
  if (document.querySelector('#ribbon [data-pending]')) forecast();
}

// Another kind of stage has other fields.
document.addEventListener('change', (e) => {
  if (e.target.name?.endsWith('.kind') && e.target.name.startsWith('method')) {
    e.target.closest('.row').querySelector('[data-kind]')?.click();
  }
});
