// The stopwatch: taps become lines of the list, each with the clock on the wall.
// The list is the form's own field, which page.js keeps in the browser, so that a
// locked screen or a reload loses nothing.
(function () {
  "use strict";
  var watch = document.querySelector("[data-watch]");
  if (!watch) return;
  var form = watch.closest("form");
  var list = form.elements.taps;
  var find = function (name) { return watch.querySelector("[data-" + name + "]"); };
  var said = find("said"), since = find("since"), laps = find("laps"), pad = find("steps"), gauge = find("gauge");
  var words = { on: "Pump started", off: "Pump stopped", used: "Something operated" };

  watch.hidden = false;
  form.querySelector("[data-list]").open = Boolean(document.getElementById("problems"));

  // stamp writes the moment with the workshop's own day and offset.
  function stamp(at) {
    var offset = -at.getTimezoneOffset(), ahead = Math.abs(offset);
    var two = function (n) { return (n < 10 ? "0" : "") + n; };
    return new Date(at.getTime() + offset * 60000).toISOString().slice(0, -1) +
      (offset < 0 ? "-" : "+") + two(Math.floor(ahead / 60)) + ":" + two(ahead % 60);
  }
  function lines() {
    return list.value.split("\n").filter(function (l) { return l.trim() !== ""; });
  }
  function taps() {
    return lines().map(function (l) {
      var parts = l.trim().split(/\s+/), at = parts[0].indexOf("T") > 0 ? Date.parse(parts[0]) : NaN;
      return { at: at, what: parts[1] || "on", text: l };
    });
  }
  function keep(text) {
    list.value = text;
    list.dispatchEvent(new Event("input", { bubbles: true }));
    show();
  }
  function spoken(ms) {
    var s = ms / 1000, minutes = Math.floor(s / 60);
    return minutes ? minutes + " min " + Math.round(s - 60 * minutes) + " s" : s.toFixed(1) + " s";
  }
  function running(ms) {
    var s = Math.max(0, Math.floor(ms / 1000)), rest = s % 60;
    return Math.floor(s / 60) + ":" + (rest < 10 ? "0" : "") + rest;
  }

  var lastStart = NaN;
  function show() {
    var all = taps(), starts = 0;
    lastStart = NaN;
    laps.textContent = "";
    all.forEach(function (tap) {
      var item = document.createElement("li"), what = document.createElement("span"), time = document.createElement("span");
      var label = words[tap.what] || tap.what + " bar";
      if (tap.what === "on") {
        starts++;
        label = "Start " + starts;
        if (!isNaN(tap.at) && !isNaN(lastStart)) {
          var interval = document.createElement("strong");
          interval.textContent = spoken(tap.at - lastStart);
          what.append(label + ", after ", interval);
          label = "";
        }
        lastStart = tap.at;
      }
      if (label) what.textContent = label;
      time.textContent = isNaN(tap.at) ? tap.text : new Date(tap.at).toLocaleTimeString();
      item.append(what, time);
      laps.prepend(item);
    });
    find("undo").disabled = find("clear").disabled = all.length === 0;
    tick();
    steps();
  }
  function tick() {
    since.textContent = isNaN(lastStart) ? "–" : running(Date.now() - lastStart);
  }

  function tap(what) {
    var now = new Date(), before = taps().pop();
    // One thumb, two touches: the second is none.
    if (before && before.what === what && now - before.at < 400) return;
    var text = lines();
    text.push(stamp(now) + " " + what);
    keep(text.join("\n") + "\n");
    var all = taps(), starts = all.filter(function (t) { return t.what === "on"; });
    var n = starts.length;
    if (what !== "on") said.textContent = (words[what] || what + " bar") + ": noted.";
    else if (n < 2) said.textContent = "First start noted.";
    else said.textContent = "Start " + n + ", after " + spoken(starts[n - 1].at - starts[n - 2].at) + (n < 4 ? ". " + (4 - n) + " more." : ". Enough for three intervals.");
    awake();
  }

  // The screen stays on while the taps go on, where the browser lets it.
  var lock = null;
  function awake() {
    if (!navigator.wakeLock || lock) return;
    lock = true;
    navigator.wakeLock.request("screen").then(function (l) {
      lock = l;
      l.addEventListener("release", function () { lock = null; });
    }, function () { lock = null; });
  }

  function number(text) { return Number(String(text).trim().replace(",", ".")); }
  function called(value) {
    if (!isFinite(value) || value < -2 || value > 1000) {
      said.textContent = "A pressure in bar, such as 49.";
      gauge.focus();
      return;
    }
    gauge.value = String(value);
    tap(String(value));
  }
  // The next readings are mostly one below the last.
  function steps() {
    var last = number(gauge.value);
    if (!isFinite(last)) return;
    [-1, -2, -3, 0, 1, 2].forEach(function (step, i) {
      var button = pad.children[i];
      if (!button) {
        button = document.createElement("button");
        button.type = "button";
        if (step !== -1) button.className = "second";
        pad.append(button);
      }
      var value = Math.round((last + step) * 10) / 10;
      button.textContent = String(value);
      button.dataset.bar = String(value);
      button.setAttribute("aria-label", value + " bar");
    });
  }

  watch.addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (!button) return;
    if (button.dataset.tap) tap(button.dataset.tap);
    else if (button.dataset.bar) called(number(button.dataset.bar));
    else if (button.hasAttribute("data-note")) called(number(gauge.value));
    else if (button.hasAttribute("data-undo")) {
      var text = lines();
      text.pop();
      keep(text.length ? text.join("\n") + "\n" : "");
      said.textContent = "The last tap was taken back.";
    } else if (button.hasAttribute("data-clear") && window.confirm("Clear all taps?")) {
      keep("");
      said.textContent = "The list is empty.";
    }
  });
  gauge.addEventListener("input", steps);
  gauge.addEventListener("keydown", function (event) {
    if (event.key !== "Enter") return;
    event.preventDefault();
    called(number(gauge.value));
  });
  list.addEventListener("change", show);
  form.addEventListener("reset", function () { setTimeout(show); });
  window.addEventListener("pageshow", show);
  document.addEventListener("visibilitychange", tick);
  setInterval(tick, 1000);
  show();
})();
