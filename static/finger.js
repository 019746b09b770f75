// A button that is replaced between a finger's going down and coming up gets no
// click: whoever sets something into the page waits until no finger is down and
// its click is through.
let down = null, up = () => {};

export const lifted = () => down ?? Promise.resolve();

addEventListener('pointerdown', () => { down ??= new Promise((done) => { up = done; }); }, true);
for (const event of ['pointerup', 'pointercancel']) {
  addEventListener(event, () => setTimeout(() => { up(); down = null; }, 50), true);
}
addEventListener('blur', () => { up(); down = null; });
