"""The seal on the pages: a PAdES signature over the whole file that keeps it PDF/A and PDF/UA."""

from datetime import datetime
from io import BytesIO

from asn1crypto import keys as asn1_keys
from asn1crypto import x509 as asn1_x509
from cryptography.hazmat.primitives import serialization
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.writer import BasePdfFileWriter
from pyhanko.sign.fields import InvisSigSettings, MDPPerm, SigFieldSpec, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.sign.signers.constants import ESIC_EXTENSION_1
from pyhanko.sign.signers.pdf_signer import PdfSigningSession
from pyhanko_certvalidator.registry import SimpleCertificateStore

from app.exports.site_keys import SiteKeys

FIELD = "SiteSeal"
REASON = "Seal of the install record"


class SealWriter(IncrementalPdfFileWriter):
    """Appends to a finished file and leaves its metadata alone.

    A rewritten metadata stream would drop the marks that make the file PDF/A and PDF/UA.
    """

    def _update_meta(self) -> None:  # private in the library: a test holds its name and its effect
        pass


class SealAt(PdfSigner):
    """Signs with the time it is given instead of the clock's, in a file that stays PDF 1.7."""

    moment: datetime

    def register_extensions(self, pdf_out: BasePdfFileWriter, *, md_algorithm: str) -> None:  # noqa: ARG002
        """Name the one extension that PAdES needs.

        The library would also name the one for elliptic curves and raise the file to PDF 2.0, which
        PDF/A-3 does not know.
        """
        pdf_out.register_extension(ESIC_EXTENSION_1)

    def init_signing_session(
        self, pdf_out: BasePdfFileWriter, existing_fields_only: bool = False
    ) -> PdfSigningSession:
        """Return a session that stands at the given time."""
        session = super().init_signing_session(pdf_out, existing_fields_only)
        session.system_time = self.moment
        return session


def seal_pages(pages: bytes, keys: SiteKeys, sealed_at: str) -> bytes:
    """Return the pages with the site's seal appended, covering every byte before it."""
    # The appended part must begin on a line of its own, or the file is no longer PDF/A.
    whole_lines = pages if pages.endswith(b"\n") else pages + b"\n"
    signer = SealAt(_metadata(keys), _signer(keys), new_field_spec=_field())
    signer.moment = datetime.fromisoformat(sealed_at)
    output = BytesIO()
    signer.sign_pdf(SealWriter(BytesIO(whole_lines)), output=output)
    return output.getvalue()


def _metadata(keys: SiteKeys) -> PdfSignatureMetadata:
    return PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm="sha256",
        name=keys.site,
        reason=REASON,
        subfilter=SigSeedSubFilter.PADES,
        certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES,
    )


def _field() -> SigFieldSpec:
    return SigFieldSpec(
        FIELD,
        readable_field_name=REASON,
        # PDF/A wants the field printable, PDF/UA wants an untagged one off the page.
        invis_sig_settings=InvisSigSettings(set_print_flag=True, box_out_of_bounds=True),
    )


def _signer(keys: SiteKeys) -> SimpleSigner:
    certificate = keys.certificate.public_bytes(serialization.Encoding.DER)
    private = keys.page_key.private_bytes(
        serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    return SimpleSigner(
        signing_cert=asn1_x509.Certificate.load(certificate),  # type: ignore[no-untyped-call]
        signing_key=asn1_keys.PrivateKeyInfo.load(private),  # type: ignore[no-untyped-call]
        cert_registry=SimpleCertificateStore(),  # type: ignore[no-untyped-call]
    )
