// The pressure log as a plot to zoom into, in place of the drawn one. A stretch is
// fetched as fine as the screen shows it, however long the log is.
(function () {
  "use strict";
  var box = document.querySelector("[data-readings]");
  if (!box || !window.uPlot || !window.fetch) return;
  var drawn = box.querySelector("figure");
  var plot = null, data = null, from = NaN, to = NaN, asked = 0;
  var place = document.createElement("div"), bar = document.createElement("div"), said = document.createElement("p");
  place.className = "zoom";
  bar.className = "zoom-bar row no-print";
  said.className = "muted small";
  said.setAttribute("role", "status");
  var key = document.createElement("ul");
  key.className = "zoom-key";

  function colour(name) { return getComputedStyle(box).getPropertyValue(name).trim(); }
  function seconds(s) {
    var m = Math.floor(s / 60), rest = Math.round(s - 60 * m);
    return m ? m + " min " + rest + " s" : rest + " s";
  }

  function button(words, act) {
    var b = document.createElement("button");
    b.type = "button";
    b.className = "second";
    b.textContent = words;
    b.addEventListener("click", act);
    bar.append(b);
  }
  function move(share) {
    var step = share * (to - from), at = Math.min(Math.max(from + step, data.from_s), data.to_s - (to - from));
    show(at, at + (to - from));
  }
  function zoom(factor) {
    var middle = (from + to) / 2, half = factor * (to - from) / 2;
    show(middle - half, middle + half);
  }

  // show asks for a stretch and draws it; an answer that comes late is dropped.
  function show(a, b) {
    if (data) {
      a = Math.max(a, data.from_s);
      b = Math.min(Math.max(b, a + 0.5), data.to_s);
    }
    var mine = ++asked, address = box.dataset.readings + "&columns=" + Math.round(box.clientWidth * (window.devicePixelRatio || 1));
    if (!isNaN(a)) address += "&from=" + a + "&to=" + b;
    fetch(address).then(function (answer) {
      if (!answer.ok) throw new Error(answer.status);
      return answer.json();
    }).then(function (got) {
      if (mine !== asked) return;
      data = got;
      from = isNaN(a) ? got.from_s : a;
      to = isNaN(b) ? got.to_s : b;
      draw();
    }).catch(function () {
      if (mine === asked && !data) { place.remove(); key.remove(); bar.remove(); said.remove(); drawn.classList.remove("zoomed"); }
    });
  }

  // marks draws the runs of the pump, what was operated, and the fitted curves.
  function marks(u) {
    var ctx = u.ctx, area = u.bbox, x = function (t) { return u.valToPos(t, "x", true); }, y = function (v) { return u.valToPos(v, "y", true); };
    ctx.save();
    ctx.beginPath();
    ctx.rect(area.left, area.top, area.width, area.height);
    ctx.clip();
    ctx.fillStyle = colour("--accent");
    ctx.globalAlpha = 0.2;
    data.runs.forEach(function (run) { ctx.fillRect(x(run[0]), area.top, Math.max(x(run[1]) - x(run[0]), 1), area.height); });
    ctx.globalAlpha = 1;
    ctx.strokeStyle = colour("--accent");
    ctx.setLineDash([3, 5]);
    data.used.forEach(function (t) {
      ctx.beginPath();
      ctx.moveTo(x(t), area.top);
      ctx.lineTo(x(t), area.top + area.height);
      ctx.stroke();
    });
    [[data.leak, "--warn"], [data.fitted, "--accent"]].forEach(function (curve) {
      ctx.strokeStyle = colour(curve[1]);
      ctx.lineWidth = 2 * (window.devicePixelRatio || 1);
      ctx.setLineDash([8, 6]);
      ctx.beginPath();
      curve[0].forEach(function (p, i) {
        if (data.holds.indexOf(i) >= 0) ctx.moveTo(x(p[0]), y(p[1]));
        else ctx.lineTo(x(p[0]), y(p[1]));
      });
      ctx.stroke();
    });
    ctx.restore();
  }

  // legend names what is drawn, with a stroke of each kind.
  function legend() {
    var space = "http://www.w3.org/2000/svg";
    key.textContent = "";
    [["pressure", "pressure", true], ["runs", "pump runs", data.runs.length], ["used", "something operated", data.used.length],
      ["fitted", "fitted: cooling and leak", data.fitted.length], ["leak", "the leak alone", data.leak.length]].forEach(function (entry) {
      if (!entry[2]) return;
      var item = document.createElement("li"), swatch = document.createElementNS(space, "svg");
      var mark = document.createElementNS(space, entry[0] === "runs" ? "rect" : "line");
      var at = entry[0] === "runs" ? { width: 28, height: 14 } : { x1: 0, x2: 28, y1: 7, y2: 7 };
      Object.keys(at).forEach(function (name) { mark.setAttribute(name, at[name]); });
      mark.setAttribute("class", "key-" + entry[0]);
      swatch.setAttribute("viewBox", "0 0 28 14");
      swatch.setAttribute("aria-hidden", "true");
      swatch.append(mark);
      item.append(swatch, entry[1]);
      key.append(item);
    });
  }

  function draw() {
    legend();
    var axis = { stroke: colour("--muted"), grid: { stroke: colour("--rule"), width: 1 }, ticks: { stroke: colour("--rule"), width: 1 }, font: "13px " + getComputedStyle(document.body).fontFamily };
    if (plot) plot.destroy();
    plot = new uPlot({
      width: box.clientWidth, height: Math.min(420, Math.max(260, box.clientWidth * 0.5)),
      legend: { show: false },
      cursor: { drag: { x: true, y: false, setScale: false }, points: { show: false } },
      scales: { x: { time: false, min: from, max: to } },
      axes: [
        Object.assign({ incrs: [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400], values: function (u, list) { return list.map(function (v) { return to - from > 180 ? Math.round((v - data.from_s) / 6) / 10 + " min" : Math.round((v - data.from_s) * 10) / 10 + " s"; }); }, space: 70 }, axis),
        Object.assign({ values: function (u, list) { return list.map(function (v) { return v + " bar"; }); }, size: 64 }, axis)
      ],
      series: [{}, { stroke: colour("--ink"), width: 1.4, points: { show: false } }],
      hooks: {
        draw: [marks],
        setSelect: [function (u) {
          if (u.select.width < 8) return;
          var a = u.posToVal(u.select.left, "x"), b = u.posToVal(u.select.left + u.select.width, "x");
          u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          show(a, b);
        }]
      }
    }, [data.t, data.bar], place);
    place.setAttribute("role", "img");
    place.setAttribute("aria-label", "Pressure from " + seconds(from - data.from_s) + " to " + seconds(to - data.from_s) + " of the log; the table below holds the runs");
    said.textContent = "From " + seconds(from - data.from_s) + " to " + seconds(to - data.from_s) + ". Drag across the plot to look closer.";
    drawn.classList.add("zoomed");
  }

  button("Closer", function () { zoom(0.5); });
  button("Wider", function () { zoom(2); });
  button("Earlier", function () { move(-0.5); });
  button("Later", function () { move(0.5); });
  button("Whole log", function () { show(data.from_s, data.to_s); });
  box.prepend(place, key, bar, said);
  show(NaN, NaN);
  var late = 0;
  window.addEventListener("resize", function () { clearTimeout(late); late = setTimeout(function () { if (data) show(from, to); }, 200); });
  new MutationObserver(function () { if (data) draw(); }).observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", function () { if (data) draw(); });
})();
