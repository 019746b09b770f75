// Beside the form of a bread: what the formula comes to, while it is typed. Without
// this the button “Check” asks the same of the server.
const form = document.querySelector('form[data-tally]');
const pause = 400; // ms of not typing

let timer, asked = 0;
async function tally() {
  const mine = ++asked;
  try {
    const answer = await fetch(form.dataset.tally, { method: 'POST', body: new URLSearchParams(new FormData(form)) });
    if (!answer.ok || mine !== asked) return;
    const next = new DOMParser().parseFromString(await answer.text(), 'text/html');
    for (const part of next.body.children) document.getElementById(part.id)?.replaceWith(part);
  } catch { /* the totals stay as they were; the bar says that the line is lost */ }
}

// What one cup weighs is asked only where something is measured.
function ask(field) {
  const each = field.closest('.row').querySelector('[data-each]');
  const measured = /\p{L}/u.test(field.value.toLowerCase().replaceAll(/kg|g|%/g, ''));
  if (each) each.hidden = !measured && !each.querySelector('input').value;
}

form?.addEventListener('input', (e) => {
  if (e.target.matches('[data-amount]')) ask(e.target);
  clearTimeout(timer);
  timer = setTimeout(tally, pause);
});
