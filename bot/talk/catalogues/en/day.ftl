# Days.

day-last = last { $weekday }
day-of-month = { $weekday } the { $day }
day-on = on { $day }
day-days = { $n ->
    [one] a day
   *[other] { $n } days
  }
day-weeks = { $n ->
    [1] a week
    [2] two weeks
    [3] three weeks
   *[other] { $n } weeks
  }
