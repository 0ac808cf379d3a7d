# Records sent to the database of many sites, and read from there.
share-sent = { $site }: { $records ->
    [0] nothing new to send
    [one] 1 record sent
   *[other] { $records } records sent
}; all { $all } records are there, each checked by the database. Book seal { $seal }
share-prepared = The tables are there, schema { $schema }
share-left-out = this program was built without sharing
hint-share-build = `cargo install --path . --features share` builds it with sharing
share-broke = the database { $with } does not answer: { $why }
hint-share-again = nothing is lost; the same command goes on where it stopped
share-not-prepared = the database { $with } has tables of schema { $found }, and this program needs schema { $known }
hint-share-prepare = whoever keeps the database runs `trayful share --prepare --to ADDRESS` once
share-other-migration = step { $number } of the tables was made there by another text than this program's; nothing was changed
share-fork = the database holds another record { $seq } of { $site } than this book: two books were sent as one site
hint-share-fork = nothing was sent; send the other book, or ask for a role of its own for this one
share-behind = the database holds { $there } records of { $site }, this book only { $here }: it is an older copy
hint-share-behind = nothing was sent; use the newest copy of the book
share-refused = the database did not take it: { $why }
share-no-such-site = no site { $site } there; known: { $known }
share-unreadable = { $site }: the database holds what this program can't read: { $what }
share-not-an-address = not the address of a database: { $why }; accepted: postgres://SITE@HOST/DATABASE
share-no-authority = no certificate to check the database by; name one with --ca FILE
share-bad-authority = the certificate of --ca can't be used: { $error }
share-no-sites = no site has sent anything there yet
sites-title = Month { $month }, { $sites } sites
sites-title-one = Month { $month }, site { $site }
sites-title-supplier = { $supplier }: month { $month }, { $sites ->
    [one] 1 site
   *[other] { $sites } sites
}
sites-by-site = By site
sites-name = name
sites-state = state
sites-draft = draft
sites-changed = version { $version }, changed since
sites-seal = book seal
sites-bounds = Each site's month begins and ends at its own midnight ({ $zones }).
sites-left-out = Tickets, scale and weekdays stand on each site's own page of the month.
