// Niceties only: every page works without this file.
"use strict";

// The list of wrong fields takes the focus, so that a screen reader and the keyboard start there.
const wrong = document.querySelector(".errors");
if (wrong) wrong.focus();

// A double tap sends once; the server holds to that too, by the form's submission number.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.sent) { event.preventDefault(); return; }
  form.dataset.sent = "yes";
  setTimeout(() => { delete form.dataset.sent; }, 5000);
});

// Coming back with the browser's back button, a form may be sent again.
window.addEventListener("pageshow", () => {
  for (const form of document.forms) delete form.dataset.sent;
});
