-- Screens that may come in: the SHA-256 of a screen's token, never the token. Not entries: a screen may be renamed and
-- forgotten. A forgotten one stays, so that it is known when it was.
CREATE TABLE screens (
    token_sha256 BLOB PRIMARY KEY NOT NULL CHECK (length(token_sha256) = 32),
    who TEXT NOT NULL,
    paired TEXT NOT NULL,
    forgotten TEXT
) STRICT;
