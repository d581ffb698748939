// The filler's clock counts down between loads of the page; without this file the page says when the check is due.
"use strict";

const fillClock = document.getElementById("clock");
if (fillClock && fillClock.dataset.seconds) {
  const due = Date.now() + Number(fillClock.dataset.seconds) * 1000;
  const word = fillClock.querySelector(".clock-word");
  const left = fillClock.querySelector(".clock-left");
  const title = document.title;
  const pad = (n) => String(n).padStart(2, "0");
  const tick = () => {
    const seconds = Math.round((due - Date.now()) / 1000);
    const away = Math.abs(seconds);
    const hours = Math.floor(away / 3600);
    const time = (hours ? hours + ":" + pad(Math.floor(away / 60) % 60) : Math.floor(away / 60)) + ":" + pad(away % 60);
    left.textContent = (seconds >= 0 ? fillClock.dataset.in : fillClock.dataset.over).replace("%", time);
    if (seconds <= 0) {
      word.textContent = fillClock.dataset.due;
      fillClock.classList.remove("waits");
      fillClock.classList.add("late");
      document.title = fillClock.dataset.due + " · " + title;
    }
  };
  tick();
  setInterval(tick, 1000);
}
