"""The record as pages for people: PDF/A-3b and PDF/UA-1, the sealed JSON inside, sealed by the site."""

from app.exports.record_json import SealedRecord
from app.exports.site_keys import SiteKeys


def sealed_record_pdf(sealed: SealedRecord, keys: SiteKeys) -> bytes:
    """Return the pages of a sealed record under the seal of the same site.

    Raises: OtherSiteError where the JSON was sealed with the keys of another site.
    """
    # Typesetting and sealing load libraries for half a second: only an export pays for them.
    from app.exports.pdf_seal import seal_pages  # noqa: PLC0415
    from app.exports.typesetting import set_pages  # noqa: PLC0415

    if sealed.seal.certificate_fingerprint != keys.certificate_fingerprint:
        raise OtherSiteError(sealed.seal.site, keys.site)
    return seal_pages(set_pages(sealed), keys, sealed.seal.sealed_at)


class OtherSiteError(ValueError):
    """The pages and the JSON inside them would be sealed by two sites."""

    def __init__(self, record_site: str, page_site: str) -> None:
        super().__init__(
            f"The record was sealed by {record_site!r}, "
            f"the pages would be sealed by {page_site!r} with another key. "
            "Seal the record again with the keys of this site."
        )
