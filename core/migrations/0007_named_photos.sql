-- Which value names a photo. A content address is 33 bytes, 35 with what CBOR needs before it.
CREATE INDEX fact_photo ON fact(value) WHERE salt IS NOT NULL AND length(value) = 35;
