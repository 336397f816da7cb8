# Why a reading can't be taken as it stands.

reading-comma = { $one },{ $other }: two places, or { $one }.{ $other }?
reading-range = { $one } to { $other }: two places, or about { $mean } in one?
reading-below = The scale begins at 1, which is dry. Did you mean { $near }?
reading-above = The scale ends at 10, which is wet. Did you mean 10?
reading-above-two = The scale ends at 10. Did you mean { $one } and { $other }?
reading-many = More than { $most } places in one go; give me up to { $most }.
reading-word = I didn't understand "{ $word }". I take numbers from 1 (dry) to 10 (wet), *4m 6d* for middle and deep, or dry, moist, wet.
reading-none = What did you find? A number from 1 (dry) to 10 (wet), or dry, moist, wet.
