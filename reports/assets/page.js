'use strict';
(() => {
// lines to paste, copied by one touch; marked for the hand where that is not allowed
for (const button of document.querySelectorAll('.copy')) {
  const lines = button.parentElement.querySelector('code');
  const mark = () => { const range = document.createRange(); range.selectNodeContents(lines); const s = getSelection(); s.removeAllRanges(); s.addRange(range); };
  button.hidden = false;
  button.addEventListener('click', async () => {
    try { await navigator.clipboard.writeText(lines.textContent); button.textContent = 'Copied'; } catch { mark(); button.textContent = 'Marked: now copy'; }
    setTimeout(() => { button.textContent = 'Copy'; }, 3000);
  });
}
// before and after, one over the other
for (const slide of document.querySelectorAll('.slide')) {
  const pair = slide.querySelector('.pair'), scrub = slide.querySelector('input');
  const cut = () => pair.style.setProperty('--cut', `${scrub.value}%`);
  pair.classList.add('live');
  scrub.hidden = false;
  scrub.addEventListener('input', cut);
  cut();
}
})();
