/* Says where a page is read whether it is in force: from what the page says of itself, the list of editions beside it
   (editions.js) and the day. Old editions never change a byte; this file and the list tell that they are old. */
(function () {
  "use strict";

  var PROCEDURE = /^[A-Z]{2,6}-[0-9]{2,3}$/;
  var EDITION = /^(?:edition )?([1-9][0-9]{0,3})$/;
  var UNBROKEN = /([A-Z]{2,6}-[0-9]{2,3}|[0-9]{4}-[0-9]{2}-[0-9]{2})/;

  /* What is to be said of a page on a day: a list of {kind, word, parts}, most pressing first; a part is text or {text, to}.
     page: {edition, procedure, issue, reviewDue, owner, root}; days are texts such as "2026-03-02", which sort as days do. */
  function judge(page, list, today) {
    if (page.edition === null) {
      return [];
    }
    var own = isReadable(list) ? numbered(list, page.edition) : null;
    if (own === null) {
      return [cannotTell(page)];
    }
    var withdrawn = withdrawals(page, list, own, today);
    if (withdrawn.length) {
      return withdrawn;
    }
    var now = inForceOn(list, today);
    if (now === null || now.number < own.number) {
      return [notYet(page, own, now, today)];
    }
    var told = now.number > own.number ? [superseded(page, list, now, today)] : [];
    if (isStillTheIssue(page, own, now) && page.reviewDue && page.reviewDue < today) {
      told.push(overdue(page));
    }
    return told;
  }

  function isReadable(list) {
    return Boolean(list) && list.version === 1 && Array.isArray(list.editions) && typeof list.current === "number";
  }

  function numbered(list, number) {
    var found = list.editions.filter(function (edition) { return edition.number === number; });
    return found.length ? found[0] : null;
  }

  /* The newest that has begun; where that is withdrawn in favour of an earlier edition, the earlier one. */
  function inForceOn(list, today) {
    var now = list.editions.reduce(function (newest, edition) {
      var counts = edition.number <= list.current && edition.in_force <= today;
      return counts && (newest === null || edition.number > newest.number) ? edition : newest;
    }, null);
    var earlier = now;
    while (earlier !== null && earlier.withdrawn && earlier.withdrawn.on <= today) {
      now = earlier;
      earlier = insteadOf(list, earlier);
    }
    return earlier || now;
  }

  function insteadOf(list, edition) {
    var named = EDITION.exec(edition.withdrawn.instead);
    return named && Number(named[1]) < edition.number ? numbered(list, Number(named[1])) : null;
  }

  function isStillTheIssue(page, own, now) {
    var entry = (now.procedures || {})[page.procedure];
    return now.number === own.number || Boolean(entry && entry.issue === page.issue);
  }

  function withdrawals(page, list, own, today) {
    var told = [];
    var procedure = (list.withdrawn || {})[page.procedure];
    if (procedure && procedure.on <= today) {
      told.push(withdrawn(page, page.procedure, procedure, null));
    }
    if (own.withdrawn && own.withdrawn.on <= today) {
      told.push(withdrawn(page, "Edition " + own.number, own.withdrawn, insteadOf(list, own)));
    }
    return told;
  }

  function withdrawn(page, what, record, edition) {
    var instead = record.instead;
    if (edition) {
      instead = inEdition(page, edition);
    } else if (PROCEDURE.test(instead)) {
      instead = link(instead, toProcedure(page, instead));
    }
    return message("withdrawn", "Withdrawn.", "withdrawn", [
      "Do not use this page. " + what + " was withdrawn on " + record.on + ". Reason: " + ended(record.reason) + " Use instead: ", instead
    ]);
  }

  function superseded(page, list, now, today) {
    var since = "Superseded by edition " + now.number + ", in force since " + now.in_force + ". ";
    var entry = (now.procedures || {})[page.procedure];
    var isOld = !entry || entry.issue !== page.issue;
    var parts;
    if (!page.procedure) {
      parts = [since, link("Open this reference as it is now", page.root + "index.html")];
    } else if (!entry) {
      parts = ["Do not use this page. " + since + page.procedure + " is no longer in it. ", link("See the list of editions", page.root + "editions.html")];
    } else if (!isOld) {
      parts = [since + page.procedure + " issue " + page.issue + " stands unchanged in it. ", toNow(page, list, now)];
    } else {
      parts = ["Do not use this page. " + since + "In force now: ", toNow(page, list, now)];
    }
    if (now.withdrawn && now.withdrawn.on <= today) {
      parts.push(" Edition " + now.number + " has been withdrawn: " + ended(now.withdrawn.reason) + " Use instead: " + now.withdrawn.instead);
    }
    return message("superseded", "Superseded.", isOld ? "superseded" : "", parts);
  }

  function notYet(page, own, now, today) {
    var parts = ["Edition " + own.number + " is in force only from " + own.in_force + "; this computer says that today is " + today + ". "];
    if (now !== null) {
      parts.push("Until then edition " + now.number + " is in force: ", inEdition(page, now));
    }
    return message("not-yet", "Not in force yet.", "not in force yet", parts);
  }

  function overdue(page) {
    return message("overdue", "Review overdue.", "", [
      "Still the issue in force: use it. Review was due on " + page.reviewDue + "; tell the " + (page.owner || "owner") + "."
    ]);
  }

  function cannotTell(page) {
    return message("unknown", "In force?", "cannot be told here", [
      "It cannot be told here: the list of editions is missing or damaged. Open the page from the department’s own folder of editions, or ask the " +
        (page.owner || "owner") + "."
    ]);
  }

  function toNow(page, list, now) {
    var there = inEdition(page, now);
    return now.number === list.current ? link(there.text, toProcedure(page, page.procedure)) : there;
  }

  /* The way to the same procedure in another edition, or to that edition where the page is no procedure of it. */
  function inEdition(page, edition) {
    var entry = (edition.procedures || {})[page.procedure];
    var folder = page.root + "editions/" + ("000" + edition.number).slice(-4) + "/";
    if (!entry) {
      return link("edition " + edition.number, folder + "index.html");
    }
    return link(page.procedure + " issue " + entry.issue + ", " + entry.title, folder + entry.page);
  }

  function toProcedure(page, procedure) {
    return page.root + "go/" + procedure.toLowerCase() + ".html";
  }

  function link(text, to) {
    return { text: text, to: to };
  }

  /* `state` is what then stands in the page's own cell, "" where that says so already. */
  function message(kind, word, state, parts) {
    return { kind: kind, word: word, state: state, parts: parts };
  }

  function ended(sentence) {
    return /[.!?]$/.test(sentence) ? sentence : sentence + ".";
  }

  /* From here on: the page itself. */

  function factsOf(box) {
    function number(text) {
      return text ? Number(text) : null;
    }
    var data = box.dataset;
    return {
      edition: number(data.edition), procedure: data.procedure || "", issue: number(data.issue),
      reviewDue: data.reviewDue || "", owner: data.owner || "", root: data.root
    };
  }

  function today() {
    var now = new Date();
    function two(number) {
      return (number < 10 ? "0" : "") + number;
    }
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  function asParagraph(told) {
    var paragraph = document.createElement("p");
    paragraph.className = "yb-notice yb-notice--" + told.kind;
    var word = document.createElement("strong");
    word.textContent = told.word;
    paragraph.appendChild(word);
    paragraph.appendChild(document.createTextNode(" "));
    told.parts.forEach(function (part) {
      if (typeof part === "string") {
        addUnbroken(paragraph, part);
        return;
      }
      var anchor = document.createElement("a");
      anchor.href = part.to;
      addUnbroken(anchor, part.text);
      paragraph.appendChild(anchor);
    });
    return paragraph;
  }

  /* A day and a number of a procedure are not broken at their hyphens. */
  function addUnbroken(into, text) {
    text.split(UNBROKEN).forEach(function (piece, index) {
      var whole = document.createElement("span");
      whole.className = "yb-whole";
      whole.textContent = piece;
      into.appendChild(index % 2 ? whole : document.createTextNode(piece));
    });
  }

  window.yokebookStanding = { judge: judge };
  var box = document.getElementById("yokebook-standing");
  if (box) {
    var state = document.getElementById("yokebook-state");
    var facts = factsOf(box);
    var told = judge(facts, window.yokebookEditions, today());
    told.forEach(function (each) { box.appendChild(asParagraph(each)); });
    if (state && facts.edition !== null) {
      state.textContent = told.map(function (each) { return each.state; }).filter(Boolean)[0] || "in force";
    }
  }
})();
