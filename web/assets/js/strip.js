// Strip and its photos: a tap on a photo sets a number, a thread brings its tool.
// Without script the same is said in the fields.
(function () {
  "use strict";

  // The tool that was last used with a thread, unless another was typed.
  document.addEventListener("change", function (event) {
    var field = event.target;
    if (!field.matches || !field.matches("[data-thread]")) return;
    var tool = field.closest("[data-row]").querySelector("[data-tool]");
    var known = Array.prototype.find.call(document.querySelectorAll("#threads option"), function (o) { return o.value === field.value; });
    if (tool && !tool.value && known && known.dataset.tool) tool.value = known.dataset.tool;
  });

  // A tap on the photo sets the next new number there, or moves the one whose
  // words are being written.
  var space = "http://www.w3.org/2000/svg";
  document.querySelectorAll("[data-photo]").forEach(function (box) {
    var form = box.querySelector("form[data-marks]"), image = box.querySelector("[data-marked]");
    if (!form || !image) return;
    var marks = box.querySelector(".off-marks"), current = null;
    form.querySelector("[data-tap]").hidden = false;
    function field(row, name) { return row.querySelector('[name$=".' + name + '"]'); }
    form.addEventListener("focusin", function (event) { current = event.target.closest("[data-mark]"); });
    function draw() {
      while (marks.firstChild) marks.firstChild.remove();
      form.querySelectorAll("[data-mark]").forEach(function (row) {
        var x = parseFloat(field(row, "x").value.replace(",", ".")), y = parseFloat(field(row, "y").value.replace(",", "."));
        var drop = field(row, "drop");
        if (isNaN(x) || isNaN(y) || drop && drop.checked) return;
        var group = document.createElementNS(space, "g"), dot = document.createElementNS(space, "circle"), text = document.createElementNS(space, "text");
        dot.setAttribute("cx", x + "%"); dot.setAttribute("cy", y + "%"); dot.setAttribute("r", 13);
        text.setAttribute("x", x + "%"); text.setAttribute("y", y + "%"); text.setAttribute("dy", 5);
        text.textContent = row.dataset.mark;
        group.append(dot, text);
        marks.append(group);
      });
    }
    form.addEventListener("input", draw);
    image.addEventListener("click", function (event) {
      var fold = form.closest("details");
      if (!fold.open) { fold.open = true; current = null; }
      var empty = Array.prototype.find.call(form.querySelectorAll("[data-new]"), function (row) { return !field(row, "x").value; });
      var row = current && !current.dataset.set ? current : empty || current;
      if (!row) return;
      var at = image.getBoundingClientRect();
      field(row, "x").value = Math.round(1000 * (event.clientX - at.left) / at.width) / 10;
      field(row, "y").value = Math.round(1000 * (event.clientY - at.top) / at.height) / 10;
      row.dataset.set = "1";
      draw();
      field(row, "text").focus({ preventScroll: true });
    });
  });
})();
