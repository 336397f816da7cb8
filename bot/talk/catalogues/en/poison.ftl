# What is poisonous.

poison-of = { $common } ({ $name }). { $danger }
poison-substance = Substance: { $what }.
poison-no-kind = I don't know what kind { $plant } is: treat it as poisonous. ~/plant { $call } species NAME tells me.
poison-unknown = I don't know "{ $said }": treat it as poisonous. After a bite: vet or poison centre.
poison-unsure = Not sure, so treat them as poisonous: { $names }.
