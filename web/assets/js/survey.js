// A body survey: readings one after another by thumb, kept here while there is no
// signal and sent when there is one; points placed by a tap. All works without.
(function () {
  "use strict";
  var heard = document.querySelector("[data-survey-heard]"), box = document.querySelector("[data-survey-kept]");
  var key = "survey-kept:" + location.pathname, aloudKey = "survey-aloud";

  function kept() {
    try { return JSON.parse(localStorage.getItem(key) || "[]"); } catch (e) { return []; }
  }
  function store(name, value) {
    try { localStorage.setItem(name, value); return true; } catch (e) { return false; }
  }
  function form() { return document.querySelector("form[data-survey]"); }

  // What comes next is written for a screen reader, and said aloud where wanted.
  function aloud() {
    try { return localStorage.getItem(aloudKey) === "1" && window.speechSynthesis; } catch (e) { return false; }
  }
  function say(text) {
    if (heard) heard.textContent = text;
    if (!aloud()) return;
    window.speechSynthesis.cancel();
    window.speechSynthesis.speak(new SpeechSynthesisUtterance(text));
  }
  function offerVoice(into) {
    if (!window.speechSynthesis || !into || into.querySelector("[data-aloud]")) return;
    var button = document.createElement("button");
    button.type = "button";
    button.className = "second";
    button.dataset.aloud = "";
    button.setAttribute("aria-pressed", aloud() ? "true" : "false");
    button.textContent = "Say it aloud";
    button.addEventListener("click", function () {
      var on = button.getAttribute("aria-pressed") !== "true";
      store(aloudKey, on ? "1" : "0");
      button.setAttribute("aria-pressed", String(on));
      button.textContent = on ? "Said aloud" : "Say it aloud";
      if (on) say(document.getElementById("survey-now").dataset.heard);
    });
    if (aloud()) button.textContent = "Said aloud";
    into.appendChild(button);
  }

  function tell() {
    if (!box) return;
    var n = kept().length;
    box.hidden = n === 0;
    box.querySelector("p").textContent = n === 0 ? "" : "No connection: " + n + (n === 1 ? " reading is" : " readings are") + " kept in this phone and will be sent.";
  }

  // Without a signal the reading stays here and the next line of the list comes up.
  function keepHere(f) {
    var all = kept(), data = {};
    ["request", "back", "kind", "from", "to", "mm"].forEach(function (name) { data[name] = f.elements[name] ? f.elements[name].value : ""; });
    data.n = f.elements.n.value + "." + all.length;
    data.do = "add";
    all.push(data);
    if (!store(key, JSON.stringify(all))) { say("This phone keeps nothing: write the reading down."); return; }
    tell();
    ahead(f);
  }
  function ahead(f) {
    var list = f.querySelector("[data-survey-ahead]"), next = list && list.firstElementChild;
    f.elements.mm.value = "";
    if (!next) { say("Kept here. The list ends here until there is a signal."); return; }
    ["kind", "from", "to"].forEach(function (name) { f.elements[name].value = next.dataset[name]; });
    f.querySelector(".survey-line").textContent = next.dataset.words;
    f.querySelector(".survey-names").textContent = next.dataset.say;
    next.remove();
    say("Kept here. Next: " + next.dataset.say);
  }
  var sending = false;
  function send() {
    var all = kept();
    if (sending || all.length === 0) return;
    sending = true;
    fetch(location.pathname, { method: "POST", body: new URLSearchParams(all[0]), credentials: "same-origin" }).then(function (answer) {
      sending = false;
      if (answer.status >= 500) return;
      if (!answer.ok) { // refused: it is put into the field, to be looked at
        var f = form();
        if (f) ["kind", "from", "to", "mm"].forEach(function (name) { f.elements[name].value = all[0][name]; });
        say("A kept reading was refused: look at it.");
      }
      store(key, JSON.stringify(kept().slice(1)));
      tell();
      if (kept().length) send();
      else if (answer.ok) location.reload();
    }, function () { sending = false; });
  }
  window.addEventListener("online", send);
  setInterval(send, 15000);

  function dress() {
    var f = form(), pad = f && f.querySelector("[data-pad]");
    if (!f) return;
    offerVoice(f.querySelector(".survey-do"));
    if (pad) {
      pad.hidden = false;
      if (getComputedStyle(pad).display !== "none") {
        f.elements.mm.setAttribute("inputmode", "none");
        f.dataset.padded = "";
      } else f.elements.mm.focus({ preventScroll: true });
    }
  }
  document.addEventListener("click", function (event) {
    var button = event.target.closest && event.target.closest("[data-pad] [data-key]"), f = form();
    if (!button || !f) return;
    var field = f.elements.mm, now = field.value;
    if (button.dataset.key === "back") field.value = now.slice(0, -1);
    else if (button.dataset.key === "-") field.value = now.charAt(0) === "-" ? now.slice(1) : "-" + now;
    else if (button.dataset.key !== "." || now.indexOf(".") < 0) field.value = now + button.dataset.key;
  });

  if (document.getElementById("survey-now")) {
    // While readings wait to be sent the next ones wait behind them, in their order.
    document.addEventListener("htmx:beforeRequest", function (event) {
      var f = event.detail.elt;
      if (!f.hasAttribute || !f.hasAttribute("data-survey") || kept().length === 0) return;
      var by = event.detail.requestConfig && event.detail.requestConfig.triggeringEvent && event.detail.requestConfig.triggeringEvent.submitter;
      if (by && by.value !== "add") return;
      event.preventDefault();
      if (f.elements.mm.value.trim() !== "") keepHere(f);
      send();
    });
    document.addEventListener("htmx:sendError", function (event) {
      var f = event.detail.elt, by = event.detail.requestConfig && event.detail.requestConfig.triggeringEvent && event.detail.requestConfig.triggeringEvent.submitter;
      delete f.dataset.sent;
      if (by && by.value !== "add") { say("No connection: skip and take back need one."); return; }
      keepHere(f);
    });
    // What is refused comes back with what is wrong.
    document.addEventListener("htmx:beforeSwap", function (event) {
      if (event.detail.xhr.status === 422) { event.detail.shouldSwap = true; event.detail.isError = false; }
    });
    document.addEventListener("htmx:afterSwap", function () {
      dress();
      var now = document.getElementById("survey-now"), steps = document.querySelector('.survey-steps [aria-current="step"] .small');
      var done = now && now.querySelector("progress");
      if (steps && done) steps.textContent = done.value + " of " + done.max;
      var wrong = document.getElementById("problems");
      say(wrong ? wrong.textContent.trim() : now.dataset.heard);
      if (wrong) wrong.focus();
    });
    dress();
    tell();
    send();
  }

  // A tap on the plan or the side says where a point is.
  var map = document.querySelector("[data-map]"), point = document.querySelector("form[data-point]");
  if (map && point) {
    var picture = map.querySelector("svg"), hint = point.querySelector("[data-tap-hint]");
    map.dataset.ready = "";
    if (hint) hint.hidden = false;
    var views = ["plan", "side"].map(function (name) { return map.dataset[name].split(" ").map(Number); });
    picture.addEventListener("click", function (event) {
      var room = picture.getBoundingClientRect();
      var u = (event.clientX - room.left) / room.width * Number(map.dataset.width), v = (event.clientY - room.top) / room.height * Number(map.dataset.height);
      views.forEach(function (at, i) {
        if (u < at[0] - 20 || u > at[2] + 20 || v < at[1] - 8 || v > at[3] + 8) return;
        var across = at[4] - (u - at[0]) * at[6], down = at[5] - (v - at[1]) * at[6];
        var set = i === 0 ? { x: down, y: across } : { x: across, z: down };
        if (i === 1 && point.elements.x.value !== "" && Math.abs(Number(point.elements.x.value) - across) < 400) delete set.x;
        Object.keys(set).forEach(function (name) { point.elements[name].value = String(Math.round(set[name] / 10) * 10); });
        point.elements.x.dispatchEvent(new Event("input", { bubbles: true }));
      });
    });
  }
})();
