#!/usr/bin/env bash
# The tables, asked in SQL on DuckDB: the questions that stand in the manual are answered as the program itself answers them.
# questions.sh BINARY [FOLDER]; DuckDB is FOLDER/duckdb (python3 -m venv FOLDER/duckdb; FOLDER/duckdb/bin/pip install duckdb).
set -euo pipefail
bin=$(realpath "$1")
python=$(realpath -m -s "${2:-target/tools}")/duckdb/bin/python
cd "$(dirname "$0")/../.."
if ! "$python" -c 'import duckdb' >/dev/null 2>&1; then echo "questions: left out, DuckDB is not at $python"; exit 0; fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r demo/workshop "$work/data"
"$python" tests/smoke/questions.py "$bin" "$work"
