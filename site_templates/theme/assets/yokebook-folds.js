/* Folds the parts of a page that its author folded away, which stand open in its HTML; opens all for the printer. */
(function () {
  "use strict";

  var all = Array.prototype.slice.call(document.querySelectorAll("details"));
  var before = null;

  function holdsTarget(part) {
    var target = document.querySelector(":target");
    return target !== null && part.contains(target);
  }

  function openTarget() {
    all.filter(holdsTarget).forEach(function (part) { part.open = true; });
  }

  all.forEach(function (part) {
    if (part.classList.contains("yb-folded")) {
      part.open = holdsTarget(part);
    }
  });
  window.addEventListener("hashchange", openTarget);
  window.addEventListener("beforeprint", function () {
    before = all.map(function (part) { return part.open; });
    all.forEach(function (part) { part.open = true; });
  });
  window.addEventListener("afterprint", function () {
    if (before) {
      all.forEach(function (part, index) { part.open = before[index]; });
      before = null;
    }
  });
})();
