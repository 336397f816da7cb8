# The menu beside the conversation, and what a bot says of itself before anybody has spoken.

menu-about-bot = I help a household to water its potted plants by what the soil says: probe, tell me the reading, and I say whether to water, how much, and stay with you while you pour. Press Start, or add me to your household's group.
menu-about-bot-short = Potted plants, watered by what the soil says.
menu-start = first steps
menu-add = put a plant on the list
menu-plants = who is here
menu-plant = one plant's page
menu-check = after probing: what to do
menu-dose = how much water a pot takes
menu-pour = water step by step
menu-gave = note a watering
menu-spot = where a plant stands
menu-turn = note a turn
menu-wipe = note that leaves were wiped
menu-feed = note feeding
menu-scout = note a look for pests
menu-repot = note a new pot
menu-story = what happened to a plant
menu-photo = a plant's pictures
menu-why = where a date comes from
menu-undo = take back my last entry
menu-fix = correct my last entry
menu-settings = units and time zone
menu-household = who belongs here
menu-help = what works
menu-cancel = drop the question
