"""Sentences on who may record what, and on two persons."""

SENTENCES: dict[str, str] = {
    "role.may_not": "{by} ({role}) may not {deed}; roles that may: {accepted}",
    "role.no_authority": "the role of {by} on record, '{role}', is none of the"
    " register's words and carries no authority: {by} may not {deed}; roles that may:"
    " {accepted}",
    "role.not_yet": "{by} was no person on record before this delivery and may not"
    " {deed}; roles that may: {accepted}",
    "role.unknown": "no role of the register; accepted: {accepted}",
    "role.first": "nobody on record may bring people in yet, so a delivery must hold"
    " people.csv with its own author, {by}, as {accepted}",
    "role.last": "{code} is the last on record who may bring people in; accepted: first"
    " give another person the role {accepted}",
    "role.decider": "{person} may not {deed}; roles on record that may: {accepted}",
    "role.no_decision": "{what} is changed without a decision of its own: accepted is a"
    " decision '{kind}' that comes in together with it and names it (an older decision"
    " is not enough); for one record corrected, jointmap change correct makes it",
    "role.plain": "rows of kind {kind} are written one by one",
    "decision.stays": "what was decided in {number}, by whom and about what, is not"
    " corrected; record another decision",
    "defer.too_long": "a test is put off for at most {days} days; accepted: an end up"
    " to {last}. A longer interval is a rule, adopted by two persons",
    "second.no_person": "{number} ({kind}) asks for two different persons and names no"
    " first; fill person and second_person",
    "second.lacks": "{number} ({kind}) asks for two different persons; name a second"
    " (--second CODE, or second_person in decisions.csv): {accepted}. Who runs a small"
    " site alone first records a decision 'run by one person'",
    "second.same": "{number} ({kind}) asks for two different persons, and both are the"
    " same; accepted as second person: {accepted}",
    "second.role": "this person may not approve as the second of two in {number}"
    " ({kind}); roles that may: {roles}; accepted: {accepted}",
    "seen.own_name": "a person says for himself what he has seen; accepted: {by}",
    "seen.what": "accepted: subject entry, and the number of an entry on record",
    "seen.same": "{by} recorded this entry, or decided what came in with it; another"
    " person looks at it",
    "seen.appointed": "{by} got a role by this entry, and there are others who may look"
    " at it; accepted: {accepted}",
    "person.code_taken": "this code was another person's before (now {now}), whose name"
    " stands on record under it; accepted: a code that nobody ever had",
    "seen.too_early": "entry {entry} was recorded on {recorded}, and nobody has seen it"
    " before; accepted: that day or a later one",
    "seen.already": "entry {entry} was seen by this person already",
    "seen.done": "entry {entry}: its changes were seen by {by}",
    "one.own_name": "only who runs the site alone records so himself; accepted: {by}",
    "one.are_two": "there are several who may approve ({codes}); the site is not run by"
    " one person",
    "load.needs_rules": "this delivery changes {count} rules, limits, models or values"
    " of the site; look at each line below, then load it again with --rules. Nothing"
    " was recorded",
    "load.law_new": "rules: {kind} '{key}' is new: {values}",
    "load.law_changed": "rules: {kind} '{key}' changes: {values}",
    "load.law_ended": "rules: {kind} '{key}' ends: {values}",
    "load.role": "roles: {code} is {role} from now on and may approve",
    "load.kinds_new": "new: {kinds}",
    "load.kinds_corrected": "corrected: {kinds}",
    "decided.by_one": " (by one person)",
    "find.law_unseen": "entry {entry} of {recorded} by {by} changed {count} rules,"
    " limits, models or values of the site ({names}; reason: {reason}); no second"
    " person has seen it. Next: jointmap change seen SITE {entry} --by CODE"
    " --reason WHY",
    "find.role_unseen": "entry {entry} of {recorded} by {by} changed who may approve"
    " ({names}; reason: {reason}); no second person has seen it. Next: jointmap"
    " change seen SITE {entry} --by CODE --reason WHY",
    "find.by_one": "{number} of {decided_on} ({what}) stands by one person, {by}:"
    " {why}. Next: a second person looks at it (jointmap change seen SITE {entry}"
    " --by CODE --reason WHY)",
    "find.by_others": "{number} of {decided_on} ({what}) stands in the names of {names}"
    " and was recorded by {by}: {why}. Next: {second} or another looks at it (jointmap"
    " seen SITE {entry} --by CODE --reason WHY)",
    "find.correction_unseen": "entry {entry} of {recorded} by {by} corrected what"
    " verdicts and dates are judged by: {names} (reason: {reason}); no second person"
    " has seen it. Next: jointmap change seen SITE {entry} --by CODE --reason WHY",
    "find.dated_back": "entry {entry} of {recorded} by {by} dates back what changes the"
    " days between: {names} (reason: {reason}); no second person has seen it. Next:"
    " jointmap change seen SITE {entry} --by CODE --reason WHY",
    "find.role_unknown": "{code} has the role '{role}' on record, which is none of the"
    " register's words and carries no authority. Next: give {code} one of: {accepted}",
    "find.run_by_one": "{number} of {decided_on}: the site is run by one person, {by};"
    " acts that ask for two are taken by one. Ends with the second person on record who"
    " may approve",
}
