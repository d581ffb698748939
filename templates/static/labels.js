// The pictures of a label change with the form. Without this file the button "Show" does the same.
"use strict";

const asked = document.querySelector("form[data-picture]");
const label = document.getElementById("label-picture");
const sheet = document.getElementById("sheet-picture");
const refused = document.getElementById("label-refused");

if (asked && label && sheet && refused) {
  let waiting = 0;
  let shown = 0; // the newest request: an answer to an older one is not shown

  const query = () => {
    const params = new URLSearchParams();
    for (const name of ["what", "stock", "start", "count"]) {
      const field = asked.elements[name];
      params.set(name, field ? field.value : "");
    }
    return params.toString();
  };

  const say = (words) => {
    refused.textContent = words;
    label.hidden = sheet.hidden = words !== "";
  };

  const show = async () => {
    const mine = ++shown;
    const from = query();
    if (asked.elements.stock.value === "") return;
    try {
      const answer = await fetch(asked.dataset.page + "?" + from);
      const words = answer.ok ? "" : answer.status === 422 ? await answer.text() : " ";
      if (mine !== shown) return;
      say(words);
      if (!answer.ok) return;
      const words2 = document.getElementById("label-words");
      const told = answer.headers.get("X-Label-Words");
      if (words2 && told) words2.textContent = decodeURIComponent(told);
      const width = answer.headers.get("X-Label-Width");
      if (width) label.setAttribute("width", width);
      sheet.src = asked.dataset.page + "?" + from;
      label.src = asked.dataset.picture + "?" + from;
    } catch {
      // No network: the last picture stays.
    }
  };

  const soon = () => {
    clearTimeout(waiting);
    waiting = setTimeout(show, 250);
  };
  asked.addEventListener("input", soon);
  asked.addEventListener("change", soon);
  document.getElementById("label-show").hidden = true;
  if (!label.getAttribute("src") && refused.textContent === "") show();
}
