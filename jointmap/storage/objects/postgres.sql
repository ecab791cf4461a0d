-- The objects of the current schema, one query for each sort; the first column is the name.
-- Partitions of a table, and what an extension brought, are left out.

-- name: table
SELECT c.relname, c.relpersistence = 'p', c.relrowsecurity, c.relforcerowsecurity
FROM pg_class c WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e');

-- name: column
SELECT c.relname || '.' || a.attname, format_type(a.atttypid, a.atttypmod),
  a.attnotnull, pg_get_expr(e.adbin, e.adrelid), a.attgenerated::text,
  a.attidentity::text, a.attcollation = t.typcollation
FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid
JOIN pg_type t ON t.oid = a.atttypid
LEFT JOIN pg_attrdef e ON e.adrelid = a.attrelid AND e.adnum = a.attnum
WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition
  AND a.attnum > 0 AND NOT a.attisdropped;

-- name: key
SELECT c.relname || ' ' || pg_get_constraintdef(k.oid),
  k.convalidated AND NOT k.condeferrable
    AND coalesce(i.indisvalid AND i.indisunique, true)
FROM pg_constraint k JOIN pg_class c ON c.oid = k.conrelid
LEFT JOIN pg_index i ON i.indexrelid = k.conindid
WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition AND k.contype NOT IN ('n', 't');

-- name: index
SELECT x.relname, c.relname,
  (SELECT array_agg(a.attname ORDER BY n.place) FROM
    unnest(i.indkey::int2[]) WITH ORDINALITY n (attnum, place)
    JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = n.attnum),
  i.indisunique, pg_get_expr(i.indpred, i.indrelid),
  i.indisvalid AND i.indisready AND i.indislive, m.amname, i.indexprs IS NOT NULL,
  0 = ALL (i.indoption::int2[])
FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid
JOIN pg_class x ON x.oid = i.indexrelid JOIN pg_am m ON m.oid = x.relam
WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition
 
  AND NOT EXISTS (SELECT 1 FROM pg_constraint k WHERE k.conindid = i.indexrelid);

-- name: trigger
SELECT t.tgname, pg_get_triggerdef(t.oid, true), t.tgenabled = 'A'
FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid
JOIN pg_proc p ON p.oid = t.tgfoid
WHERE NOT t.tgisinternal AND c.relnamespace = current_schema()::regnamespace AND NOT (c.relispartition
  AND p.proname LIKE 'jointmap_%' AND p.pronamespace = current_schema()::regnamespace);

-- name: function
SELECT p.proname || CASE p.pronargs WHEN 0 THEN ''
    ELSE '(' || pg_get_function_identity_arguments(p.oid) || ')' END, p.prosrc, l.lanname, p.prosecdef, p.proconfig
FROM pg_proc p JOIN pg_language l ON l.oid = p.prolang
WHERE p.pronamespace = current_schema()::regnamespace
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = p.oid AND d.deptype = 'e');

-- name: operator
SELECT o.oprname, true FROM pg_operator o
WHERE o.oprnamespace = current_schema()::regnamespace
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = o.oid AND d.deptype = 'e');

-- name: type
SELECT t.typname, true FROM pg_type t
WHERE t.typnamespace = current_schema()::regnamespace AND t.typtype IN ('d', 'e', 'r')
 
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = t.oid AND d.deptype = 'e');

-- name: rule
SELECT c.relname || '.' || r.rulename, true
FROM pg_rewrite r JOIN pg_class c ON c.oid = r.ev_class
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind IN ('r', 'p');

-- name: policy
SELECT c.relname || '.' || p.polname, true
FROM pg_policy p JOIN pg_class c ON c.oid = p.polrelid WHERE c.relnamespace = current_schema()::regnamespace;

-- name: inheriting table
SELECT i.inhrelid::regclass::text, true
FROM pg_inherits i JOIN pg_class c ON c.oid = i.inhparent
JOIN pg_class child ON child.oid = i.inhrelid
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind IN ('r', 'p')
  AND NOT child.relispartition;

-- name: event trigger
SELECT evtname, true FROM pg_event_trigger;

-- name: view
SELECT c.relname, true FROM pg_class c
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'v'
 
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e');

-- name: materialized view
SELECT c.relname, true FROM pg_class c
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'm'
 
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e');

-- name: foreign table
SELECT c.relname, true FROM pg_class c
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'f'
 
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e');

-- name: sequence
SELECT c.relname, true FROM pg_class c
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'S'
 
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e');

-- name: composite type
SELECT c.relname, true FROM pg_class c
WHERE c.relnamespace = current_schema()::regnamespace AND c.relkind = 'c'
 
  AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e');

-- name: columns there
SELECT c.relname, a.attname FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid
WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition
  AND a.attnum > 0 AND NOT a.attisdropped;

-- name: table right
SELECT c.relname, r.privilege_type, CASE r.grantee WHEN 0 THEN 'everybody' ELSE pg_get_userbyid(r.grantee) END
FROM pg_class c, aclexplode(coalesce(c.relacl, acldefault('r', c.relowner))) r
WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition AND r.privilege_type NOT IN ('SELECT', 'INSERT');

-- name: column right
SELECT c.relname, a.attname, CASE r.grantee WHEN 0 THEN 'everybody' ELSE pg_get_userbyid(r.grantee) END
FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid, aclexplode(a.attacl) r
WHERE c.relnamespace = current_schema()::regnamespace
  AND c.relkind IN ('r', 'p') AND NOT c.relispartition AND r.privilege_type = 'UPDATE' AND a.attnum > 0;
