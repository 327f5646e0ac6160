// The fault model's figures in words while they are typed; the page says them for
// what is saved without this.
(function () {
  "use strict";

  // As the workbench words a chance: "9 times in 10".
  function often(p) {
    if (p <= 0) return "never";
    if (p >= 1) return "always";
    if (p < 0.01) return "1 time in " + Math.round(1 / p);
    if (p > 0.99) return "all but 1 time in " + Math.round(1 / (1 - p));
    var of = [2, 3, 4, 5, 10, 20, 100];
    for (var i = 0; i < of.length; i++) {
      var times = Math.round(p * of[i]), near = Math.abs(p - times / of[i]);
      if (near < 1e-9 || (of[i] === 3 && near < 0.004)) return timesIn(times, of[i], "");
    }
    return timesIn(Math.round(p * 100), 100, "about ");
  }
  function timesIn(times, of, about) {
    return about + times + (times === 1 ? " time" : " times") + " in " + of;
  }

  document.querySelectorAll("[data-model] [data-implies]").forEach(function (input) {
    var says = input.closest(".model-row").querySelector("[data-says]");
    var words = says.textContent.match(/^(.*) (?:never|always|(?:about |all but )?\d+ times? in \d+)\.$/);
    if (!words) return;
    input.addEventListener("input", function () {
      var typed = Number(input.value.trim().replace("%", "").replace(",", "."));
      if (!isFinite(typed) || typed < 0 || typed > 100) return;
      says.textContent = words[1] + " " + often(typed / 100) + ".";
    });
  });
})();
