// The figure beside each slider follows it.
(function () {
  "use strict";
  document.querySelectorAll("input[data-shows]").forEach(function (input) {
    var output = document.getElementById(input.dataset.shows);
    input.addEventListener("input", function () {
      output.textContent = input.value + " " + output.dataset.unit;
    });
  });
})();
