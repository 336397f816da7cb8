# What was found when a pot dried unlike itself.

looked-how = What did you find at { $plant }? As ~/looked { $call } fine
looked-fine = { $plant }: looked at, nothing wrong. For two waterings I raise no alarm and learn its new pace.
looked-moved = { $plant } moved: what I knew of it counts less for two waterings.
looked-where = Where does it stand now? As *north window*, *bright* or *study*.
looked-soft = { $plant }: soft roots. No water now.
looked-soft-how = Take it out, cut off what is brown and soft with a clean blade, in gloves as sap can irritate, and let the rest air for an hour.
looked-soft-then = Then fresh airy mix in a pot no larger; tell me with ~/repot { $call }. If no root is firm, take a cutting.
looked-full = { $plant }: full of roots, so it holds little water.
looked-full-how = One size up when it grows; until then I ask for it sooner. Then tell me: ~/repot { $call }
