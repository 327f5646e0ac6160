// Steps of a tightening are ticked one after the other; taking one back takes those
// after it back too. The server holds to the same order without this.
(function () {
  "use strict";
  var form = document.querySelector("[data-tighten]");
  if (!form) return;
  var boxes = Array.prototype.slice.call(form.querySelectorAll('input[name="step"]'));

  function follow() {
    var open = true;
    boxes.forEach(function (box) {
      if (!open) box.checked = false;
      box.disabled = !open;
      box.closest("label").classList.toggle("step-next", open && !box.checked);
      open = open && box.checked;
    });
  }
  form.addEventListener("change", follow);
  follow();
})();
