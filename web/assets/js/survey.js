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

  // What waits is told one by one; a refused reading waits until it is looked at.
  function tell() {
    if (!box) return;
    var all = kept(), n = all.length, refused = n > 0 && all[0].refused;
    box.hidden = n === 0;
    box.querySelector("p").textContent = n === 0 ? "" : refused
      ? "A kept reading was refused, nothing is lost: " + refused
      : "No connection: " + n + (n === 1 ? " reading is" : " readings are") + " kept in this phone and will be sent.";
    var list = box.querySelector("ul");
    list.textContent = "";
    if (!refused) return;
    all.forEach(function (data, i) {
      var item = document.createElement("li"), words = document.createElement("span");
      words.textContent = (data.say || data.from + (data.to ? " to " + data.to : "")) + ": " + data.mm + " mm" + (i ? ", waits" : "");
      item.appendChild(words);
      if (i === 0) {
        item.appendChild(offer("Put it into the field", putBack));
        item.appendChild(offer("Throw it away", function () { forget(data); goOn(); }));
      }
      list.appendChild(item);
    });
  }
  function offer(words, act) {
    var button = document.createElement("button");
    button.type = "button";
    button.className = "second";
    button.textContent = words;
    button.addEventListener("click", act);
    return button;
  }
  function forget(data) {
    var gone = false;
    store(key, JSON.stringify(kept().filter(function (other) {
      if (gone || other.n !== data.n || other.request !== data.request || other.mm !== data.mm) return true;
      gone = true;
      return false;
    })));
  }
  function goOn() { tell(); send(); }

  // A refused reading leaves the list only into a field that is there and empty.
  function putBack() {
    var f = form(), data = kept()[0];
    if (!f) { say("There is no field now: write the reading down before you throw it away."); return; }
    if (f.elements.mm.value.trim() !== "") { say("The field holds another reading: take that one first."); f.elements.mm.focus(); return; }
    ["kind", "from", "to", "mm"].forEach(function (name) { f.elements[name].value = data[name]; });
    f.elements.n.value = data.n + ".again" + Date.now();
    f.querySelector(".survey-line").textContent = data.say || data.from + (data.to ? " to " + data.to : "");
    f.querySelector(".survey-names").textContent = "";
    forget(data);
    f.elements.mm.focus();
    goOn();
  }

  // Without a signal the reading stays here and the next line of the list comes up.
  // The first one may have arrived though its answer did not: it is sent again as it
  // was, so that it counts once.
  function keepHere(f) {
    var all = kept(), data = {};
    ["request", "back", "kind", "from", "to", "mm", "n"].forEach(function (name) { data[name] = f.elements[name] ? f.elements[name].value : ""; });
    if (f.dataset.keeps) data.n += "." + all.length + "." + Date.now();
    f.dataset.keeps = "1";
    data.do = "add";
    data.say = f.querySelector(".survey-line").textContent.trim();
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
  function body(data) {
    var sent = new URLSearchParams();
    ["request", "back", "kind", "from", "to", "mm", "n", "do"].forEach(function (name) { sent.append(name, data[name]); });
    return sent;
  }
  // Why a reading was refused, in the words of the answer.
  function whyRefused(answer) {
    if (answer.status === 404) return Promise.resolve("this survey is not there any more. Write the readings down before you go.");
    return answer.text().then(function (text) {
      var page = new DOMParser().parseFromString(text, "text/html"), said = page.getElementById("problems") || page.querySelector("main .lead, main p");
      return (said && said.textContent.trim()) || "answer " + answer.status + ". Reload the page, and see whether you are still let in.";
    });
  }
  var sending = false;
  function send() {
    var all = kept(), data = all[0];
    if (sending || !data || data.refused) return;
    sending = true;
    fetch(location.pathname, { method: "POST", body: body(data), credentials: "same-origin" }).then(function (answer) {
      if (answer.status >= 500) { sending = false; return; }
      if (!answer.ok) {
        return whyRefused(answer).then(function (why) {
          sending = false;
          var now = kept();
          if (now[0] && now[0].n === data.n) { now[0].refused = why; store(key, JSON.stringify(now)); }
          tell();
          say("A kept reading was refused: look at it.");
        });
      }
      sending = false;
      forget(data);
      tell();
      if (kept().length) { send(); return; }
      var f = form();
      if (!f || f.elements.mm.value.trim() === "") { location.reload(); return; }
      f.elements.n.value += ".after" + Date.now(); // what is being typed stays
      say("All that was kept is sent.");
    }).catch(function () { sending = false; });
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
