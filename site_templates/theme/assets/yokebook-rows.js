/* Finds in a table by reading the row that counts: the one at or below what the dial shows. It picks among rows that are there and
   works nothing out; without it the table stands as it is. */
(function () {
  "use strict";

  var PAUSE_MS = 600;

  /* What a reading on a dial means for a table: {row, told}; row is the number of the row to mark, -1 for none.
     table: {unit, low, high, highest, readings}, numbers as printed on the dial; a reading of null is the row for all below. */
  function judge(table, typed) {
    var written = typed.replace(/\s+/g, " ").trim();
    var unit = table.unit.replace(/\s+/g, " ");
    if (written.slice(-unit.length).toLowerCase() === unit.toLowerCase()) {
      written = written.slice(0, -unit.length).trim();
    }
    var example = table.readings[0];
    var number = Number(written);
    if (/,/.test(written)) {
      return none("Write the number without a comma, with a point where it needs one, such as " + example + ".");
    }
    if (!/^[0-9]+(\.[0-9]+)?$/.test(written)) {
      return none("Type only the number that the pointer shows on the dial, which reads in " + unit + ": such as " + example + ".");
    }
    if (number < table.low || number > table.high) {
      return none("This dial cannot show " + written + ": it goes from " + table.low + " to " + table.high + " " + unit + ". Look at the dial again.");
    }
    if (number > table.highest) {
      return none("No cylinder of this table shows " + written + ": a full one comes to " + table.highest + " " + unit + " at most. Look again at the dial, its unit and the cylinder.");
    }
    for (var row = 0; row < table.readings.length; row += 1) {
      if (table.readings[row] === null) {
        return { row: row, told: "" };
      }
      if (table.readings[row] <= number) {
        return { row: row, told: table.readings[row] < number ? " " + written + " lies above it: the row at or below the reading counts." : "" };
      }
    }
    return none("Below the lowest row of this table, " + table.readings[table.readings.length - 1] + " " + unit + ": do not rely on it. Change the cylinder now.");
  }

  function none(told) {
    return { row: -1, told: told };
  }

  window.yokebookRows = { judge: judge };

  /* From here on: the page itself. */

  function add(into, tag, className, text) {
    var node = document.createElement(tag);
    node.className = className;
    node.textContent = text || "";
    return into.appendChild(node);
  }

  function factsOf(table, rows) {
    var data = table.dataset;
    return {
      unit: data.unit, low: Number(data.low), high: Number(data.high), highest: Number(data.highest),
      readings: rows.map(function (row) { return row.dataset.reading === "" ? null : Number(row.dataset.reading); })
    };
  }

  /* A row as it is heard: its reading, then each cell with its column's head. */
  function spoken(table, row, unit) {
    var heads = table.tHead.rows[0].cells;
    var cells = Array.prototype.slice.call(row.cells);
    return "Row " + cells[0].textContent + " " + unit + ": " + cells.slice(1).map(function (cell, column) {
      return cell.textContent + " (" + heads[column + 1].textContent + ")";
    }).join("; ") + ".";
  }

  function addFinder(table, number) {
    var rows = Array.prototype.slice.call(table.tBodies[0].rows);
    var facts = factsOf(table, rows);
    var finder = document.createElement("div");
    var region = table.parentNode;
    region.parentNode.insertBefore(finder, region);
    finder.className = "yb-finder";
    finder.setAttribute("role", "group");
    finder.setAttribute("aria-label", "Find the row: " + table.dataset.whose + ", " + table.dataset.what);
    var line = add(finder, "p", "yb-finder__line");
    var label = add(line, "label", "", table.dataset.whose + ", " + table.dataset.what + ": your dial reads");
    var input = add(line, "input", "");
    var unit = add(line, "span", "", facts.unit);
    var told = add(finder, "p", "yb-finder__told");
    input.id = "yokebook-reading-" + number;
    unit.id = input.id + "-unit";
    input.setAttribute("inputmode", "decimal");
    input.setAttribute("autocomplete", "off");
    input.setAttribute("aria-describedby", unit.id);
    input.size = 6;
    label.htmlFor = input.id;
    told.setAttribute("role", "status");
    var waiting = 0;

    function clear() {
      window.clearTimeout(waiting);
      told.textContent = "";
      rows.forEach(function (row) {
        row.classList.remove("yb-row-found");
        row.removeAttribute("aria-current");
      });
    }

    function answer() {
      clear();
      if (!input.value.trim()) {
        return;
      }
      var found = judge(facts, input.value);
      if (found.row >= 0) {
        rows[found.row].classList.add("yb-row-found");
        rows[found.row].setAttribute("aria-current", "true");
      }
      told.textContent = (found.row >= 0 ? spoken(table, rows[found.row], facts.unit) : "") + found.told;
    }

    /* While someone types, nothing is said of half a number. */
    input.addEventListener("input", function () {
      clear();
      waiting = window.setTimeout(answer, PAUSE_MS);
    });
    input.addEventListener("change", answer);
    input.addEventListener("keydown", function (event) {
      if (event.key === "Enter") {
        answer();
      }
    });
    return { finder: finder, input: input, whose: table.dataset.whose, name: table.dataset.whose + ", " + table.dataset.what };
  }

  /* Where a page has tables of several machines: first which one, then its reading. */
  function addChoice(finders) {
    var names = finders.map(function (each) { return each.name; });
    var line = document.createElement("p");
    line.className = "yb-finder yb-finder__line";
    finders[0].finder.parentNode.insertBefore(line, finders[0].finder);
    var label = add(line, "label", "", "Which machine?");
    var select = add(line, "select", "");
    var button = add(line, "button", "", "Go to its table");
    select.id = "yokebook-machine";
    label.htmlFor = select.id;
    button.type = "button";
    names.forEach(function (name, number) {
      if (names.indexOf(name) === number) {
        add(select, "option", "", name).value = String(number);
      }
    });
    button.addEventListener("click", function () {
      var chosen = finders[Number(select.value)];
      chosen.finder.scrollIntoView();
      chosen.input.focus({ preventScroll: true });
    });
  }

  var tables = Array.prototype.slice.call(document.querySelectorAll("table[data-whose]"));
  var finders = tables.map(addFinder);
  if (finders.some(function (each) { return each.whose !== finders[0].whose; })) {
    addChoice(finders);
  }
})();
