"""What people of the town say, of their own and of others' things; which codes they make."""

from __future__ import annotations

LINES = (
    "/plants", "/plants due", "/plants {room}", "/household", "/round", "/round start",
    "/round evening", "/round {person}", "/round {room}", "/undo", "/start", "/help", "/handover",
    "/handover {room}", "/settings units us", "/away 1-14 June", "/low -9",
    "/low moved", "/low fine", "/check {plant} 3", "{plant} 3 4", "{plant} 8", "/pour {plant}",
    "/pour {plant} anyway", "/pour {plant} poured", "/pour {plant} poured", "/pour {plant} cancel",
    "poured", "none", "yes", "no", "done", "3", "/cancel", "/plant {plant}",
    "/gave {plant} 300 ml", "gave {plant} 200 ml again", "watered everything", "/story {plant}",
    "/why {plant}", "/dose {plant}", "/chart {plant}", "/chart {room}", "/later {plant} friday",
    "/plant {plant} rename Qstolen", "/plant {plant} retire died", "/plant {plant} copy",
    "/photo", "/photo {plant}", "/photo {plant} 2", "/photo {plant} keep {id}",
    "/photo {plant} remove 1",
    "/fix 4", "/fix {plant} 200 ml", "/fix {n}", "/undo {n}", "/story {n}", "/story today",
    "who did what this week", "/help privacy", "/household {house}",
    "/household remove {person}", "/household keeper {person}", "/household member {person}",
    "/household leave", "/household home", "/household new Qnew", "/spot {plant} sill", "{n}",
    "/spot {plant} kitchen, north window", "/feed {plant}", "/drained {plant}", "/start {n}",
    "/room {room} one pane", "/room", "/room {room}", "/room {room} 16C at night",
    "/room {code} 18C", "/sensor", "/sensor new {room}", "/sensor {room}", "/sensor off {room}",
    "/sensor off", "/sensor off {id}", "/sensor new {code}", "/high", "/high 33",
    "/high 35 tomorrow", "/high {id}", "/high {code}", "/photo {id}", "/photo {code}",
    "/photo {plant} remove {id}", "/handover {person}", "/handover {id}", "/handover {code}",
    "/handover 1-14 June", "/forget", "/export",
    "export our data", "/forget household", "/forget household {word}",
    "/forget household {code}", "/forget me", "/forget me {code}",
    "/looked {plant} fine", "/add fern, Boston fern, 15 cm pot", "/invite", "{note}", "{room}",
)  # fmt: skip
UNNAMED = ("3", "3 4", "/pour", "/story", "gave 200 ml", "poured", "no", "/plant", "it is dry")
KINDS = ("", "keeper", "sitter 0", "sitter 1", "me", "join", "join", "join", "link", "link")
