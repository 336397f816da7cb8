# The hours at which something may be said unasked.

hours-shown = Round: { $morning ->
    [none] never
   *[other] { $morning }
  }. Evening reminder: { $evening ->
    [none] never
   *[other] { $evening }
  }. Quiet: { $quiet ->
    [none] never
   *[other] { $quiet }
  }.
hours-morning-now = { $time ->
    [none] No morning round any more; ~/round shows it when you ask.
   *[other] The round comes at { $time } when something is due.
  }
hours-evening-now = { $time ->
    [none] No reminder in the evening any more.
   *[other] What is left of a round I mention once, at { $time }.
  }
hours-quiet-now = { $time ->
    [none] No quiet hours any more.
   *[other] Quiet from { $time }: then I speak only when spoken to, and while you pour.
  }
hours-morning-how = When shall the round come? Try: ~/settings morning 7:30, ~/settings morning off
hours-evening-how = When shall I mention what is left? Try: ~/settings evening 19:00, ~/settings evening off
hours-quiet-how = When shall I be quiet? Try: ~/settings quiet 21:00-07:00, ~/settings quiet off
hours-clash-morning = That lies within the quiet hours ({ $quiet }): the round won't come.
hours-clash-evening = That lies within the quiet hours ({ $quiet }): no reminder will come.
