"""Two readings of one photo, bare metal and skin, weighed by how sure it is which was seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from idkit.vocabulary import PhotoEvidence


def mixed(share: float, bare: PhotoEvidence, skin: PhotoEvidence) -> PhotoEvidence:
    """photo(m) = share x photo of bare metal(m) + (1 - share) x photo as found(m); family chances likewise.

    `share`, 0 to 1, is the chance that what was read as bare metal is bare metal. What is unlike anything known is
    said of the likelier of the two.
    """
    log_photo = {
        name: float(np.log(share * np.exp(bare.log_photo[name]) + (1 - share) * np.exp(skin.log_photo[name])))
        for name in skin.log_photo
    }
    families = {name: share * bare.families[name] + (1 - share) * skin.families[name] for name in skin.families}
    unlike = bare.unlike if share >= 0.5 else skin.unlike
    return replace(skin, log_photo=log_photo, families=families, unlike=unlike, guessed_bare=True)
