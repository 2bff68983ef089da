//! Learning from reviewed and laboratory-confirmed cases.
