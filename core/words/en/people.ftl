# Accounts, the audit, one person's data, how long it is kept.
role-reader = reader
role-scout-lead = scout lead
role-reviewer = reviewer
role-admin = admin
role-reader-may = reads inquiries, without addresses, contacts and residents' own words
role-scout-lead-may = also sees addresses, contacts and residents' own words, and says who has an inquiry
role-reviewer-may = also reviews and answers
role-admin-may = also keeps accounts, the audit, and what is known of one person

account-error-short = A password has { $n } characters or more; nothing else is asked of it.
account-error-two = The two passwords are not the same.
account-error-name = A name has 1 to 60 characters, in one line.
account-error-taken = There is an account of this name already.
account-error-none = There is no open account of this name or number.
account-error-last-admin = This is the only admin; the office needs one.
account-error-link = This link was used already, or is too old.
account-error-wrong = Name or password is not right.
account-error-wait = Too soon after the last try; wait { $n } { $n ->
    [one] second
   *[other] seconds
}.

sign-in = Sign in
sign-in-refused = Not signed in:
sign-in-name = Name
sign-in-password = Password
sign-in-forgot = Forgot the password?
sign-in-use-code = Use a recovery code
sign-in-forgot-rest = from your sheet, or ask an admin of the office for a link.
not-done = Not done:
recover-about = Each code of your sheet is good once. You choose another password here, and are signed out everywhere else.
recover-code = Recovery code
recover-back = Back to signing in
choose-this-password = Choose this password
welcome-first = The first account
welcome-first-about = Nobody has an account at this office yet. Yours will be an admin's: with it you make those of the others.
welcome-choose = Choose your password
welcome-choose-about = For the account “{ $name }”. Nobody else will know it.
welcome-your-name = Your name at the office
new-password = New password, { $least } characters or more
new-password-about = Nothing else is asked of it. Several words are easier to remember than signs. It can be pasted.
new-password-again = The same once more

account-title = Your account
account-line = { $name }, { $role }: { $may }.
account-another-password = Another password
account-old-password = The password of now
account-change-it = Change it
account-codes = Recovery codes
account-codes-left = { $n } of { $all } left
account-codes-none = You have no codes. Without them, only an admin of the office can help you back in.
account-codes-some = Each is good once, should you forget the password.
account-codes-make = Make ten new codes
account-codes-about = They are shown once, to be printed. The codes of before are good no longer.
account-signed-in = Signed in
account-sessions = { $n } open { $n ->
    [one] session
   *[other] sessions
}
account-session-about = A session ends after an hour without a page, and after twelve hours in any case.
account-sign-out-everywhere = Sign out everywhere
codes-of = Recovery codes of { $name }
codes-about = { $office }. Each is good once, with the name, at “Use a recovery code” of the page to sign in.
codes-print = Print this page now and keep it like a key:
codes-print-rest = the codes are not shown again.
codes-cross = Cross out each code when it is used. There is no O, I, L or U in them.

people-line = { $n } { $n ->
    [one] account
   *[other] accounts
}. Each is of one person.
people-one = One person's data
people-keeping = How long it is kept
people-audit = Audit
people-all = All people
people-who = Who has an account
people-you = you
people-no-password = has not chosen a password yet
people-stands = { $sessions ->
    [0] not signed in
    [one] 1 open session
   *[other] { $sessions } open sessions
}; { $codes } recovery { $codes ->
    [one] code
   *[other] codes
} left
people-change = Change
people-role-of = Role of { $name }
people-give-role = Give this role
people-make-link = Make a link to choose a password
people-close = Close this account for good
people-closed = Closed
people-closed-about = { $names }. Their names stay in the audit.
people-new = A new account
people-name = Name of the person
people-role = Role
people-make = Make it
people-new-about = You get a link to hand over, with which the person chooses a password.
people-may = What each role may
people-may-about = each also all above it
people-numbered = Accounts are numbered 1, 2, 3.
link-title = A link for { $name }
link-about = Good once, for an hour, at this machine.
link-have = Have { $name } open it here to choose a password. It is not shown again; a new one can be made.

audit-title = Audit
audit-about = Who signed in, saw, changed, exported and erased. It is only added to, and holds nobody's words.
audit-newest = Newest
audit-older = Older
audit-on-page = newest first, { $n } on this page
audit-none = Nothing older is noted.
audit-place = The place in it is not a number.
audit-somebody = Somebody
audit-terminal = At the terminal, somebody
audit-inquiry = inquiry that ends in { $end }
audit-photo = photo that ends in { $end }
audit-contact = contact that ends in { $end }
audit-record = record that ends in { $end }
# What somebody did, after the name.
audit-signed-in = signed in
audit-sign-in-refused = was not signed in: name, password or code was not right
audit-signed-out = signed out
audit-signed-out-everywhere = signed out everywhere
audit-made-account = made an account
audit-changed-role = changed a role
audit-closed-account = closed an account
audit-made-link = made a one-time link for an account
audit-set-password = chose a password
audit-made-codes = made new recovery codes
audit-used-code = used a recovery code
audit-not-allowed = asked for what the role does not allow
audit-saw-inquiry = looked at an inquiry
audit-saw-place = looked at the address of an inquiry
audit-changed-holder = changed who has an inquiry
audit-saw-contact = looked at who asked
audit-saw-photo = looked at a photo closely
audit-exported = exported records
audit-searched = searched for one person's data
audit-saw-person = looked at one person's data
audit-exported-person = exported one person's data
audit-erased-person = erased one person's data
audit-set-rule = set how long private fields are kept
audit-erased-by-rule = erased private fields by the rule

person-find-about = Found by the contact: to be looked at, handed out to the person, or erased. Every step is noted in the audit, without the words.
person-find-words = Name, telephone or e-mail
person-find = Look for contacts
person-found = Contacts in which these words stand
person-found-none = None. What to do: write fewer words, or the beginnings of them. What was erased is not found.
person-no-name = a contact without a name
person-no-words = no words are kept
person-another = Another person
person-line = { $inquiries } { $inquiries ->
    [one] inquiry
   *[other] inquiries
} with this contact, { $records } { $records ->
    [one] record
   *[other] records
} besides, { $photos } { $photos ->
    [one] photo
   *[other] photos
} among them.
person-sealed = { $n } { $n ->
    [one] inquiry is
   *[other] inquiries are
} of this person under seal. Nothing of it is shown, handed out or erased here, and the contact stays until the authority releases it.
person-shared = { $n } { $n ->
    [one] site is
   *[other] sites are
} also in inquiries of others, and not among this.
person-inquiries-none = No inquiry that can be shown has this contact.
person-contact = Contact
person-contact-gone = Who asked was erased.
person-hand-out = Hand out
person-hand-out-about = One JSON file with every record above and a list of the photos. Where a photo was taken is left out.
person-save = Save the file
person-erase = Erase
person-erase-about = The contact, and { $fields } private { $fields ->
    [one] field
   *[other] fields
} on { $records } { $records ->
    [one] record
   *[other] records
}: own words, address, point. What was looked at stays, without a person. What scouts wrote themselves stays too: read it first.
person-erase-sure = It cannot be undone
person-erase-do = Erase this person's data
person-not-ticked = Erasing cannot be undone, and the box that says so was not ticked.
person-file-failed = The file could not be written.
erased = Erased
erased-person = The words of { $n } { $n ->
    [one] record
   *[other] records
} are gone from this office.
erased-views = { $n } saved { $n ->
    [one] view went with them: a word of it stood nowhere else.
   *[other] views went with them: a word of each stood nowhere else.
}
erased-to-decide = { $n } sealed { $n ->
    [one] file that is kept here names
   *[other] files that are kept here name
} what was erased. An admin decides on the page of what was set aside.
erased-after = Make a reply for each phone, so that it goes there too. Backups of before still hold it; their ledgers see to it that it does not come back.

keeping-title = How long private data is kept
keeping-about = Own words, addresses, points and contacts of closed inquiries go after some months. Nothing goes by itself: a person looks at the count first.
keeping-rule = The rule
keeping-not-set = not set
keeping-months = { $n } { $n ->
    [one] month
   *[other] months
}
keeping-months-label = Months after closing, 1 to { $most }
keeping-set = Keep it so long
keeping-rule-about = A contact or a site goes once every inquiry with it is that old. What is under seal stays.
keeping-due = Due now
keeping-amount = { $fields } private { $fields ->
    [one] field
   *[other] fields
} of { $inquiries } closed { $inquiries ->
    [one] inquiry
   *[other] inquiries
}
keeping-no-rule = Nothing, until the rule is set. The county's records schedule says how long.
keeping-nothing = Nothing is older than the rule.
keeping-erase = Erase { $amount }, for good
keeping-whole-number = The rule says a whole number of months, 1 to { $most }.
keeping-nobody-said = Nobody has said yet how long they are kept.
keeping-meanwhile = Meanwhile it would be { $amount }. Look at the count once more.
keeping-erased = Erased by the rule
keeping-gone = Gone: { $amount }.
