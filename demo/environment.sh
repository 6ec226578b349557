# Read by demo/run and tests/run: one virtual environment, .venv, for both.
# It needs nothing but Python 3.11 or newer with venv and pip.

# Set $python to the first interpreter that is new enough and can make environments.
find_python() {
    for python in python3 python3.14 python3.13 python3.12 python3.11; do
        if "$python" -c 'import sys, ensurepip, venv
sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
            return 0
        fi
    done
    echo "this needs Python 3.11 or newer with its venv module;" \
        "on Debian and Ubuntu: apt install python3 python3-venv" >&2
    return 1
}

# prepare ROOT plain|dev: make .venv, complete it, or leave it as it is.
# Its stamp says where it was made (its programs know their full path), from which
# pyproject.toml, and how much is in it; what is made for dev serves plain as well.
prepare() {
    # A start-up without compiled byte-code takes several times as long.
    unset PYTHONDONTWRITEBYTECODE PYTHONHOME PYTHONPATH
    venv=$1/.venv
    stamp=$venv/made-from
    project=$(cksum <"$1/pyproject.toml")
    made_at='' made_from=''
    if [ -f "$stamp" ] && "$venv/bin/python" -c '' 2>/dev/null; then
        { IFS= read -r made_at && IFS= read -r made_from; } <"$stamp" || :
    fi
    if [ "$made_at" = "$1" ]; then
        case $made_from in
        "$project $2" | "$project dev") return 0 ;;
        esac
    fi
    if [ -n "$made_at" ] && [ "$made_at" != "$1" ] ||
        ! "$venv/bin/python" -m pip --version >/dev/null 2>&1; then
        find_python || return 1
        rm -rf "$venv"
        "$python" -m venv "$venv" || return 1
    fi
    echo "Preparing $venv; the first time this takes about half a minute."
    case $2 in
    dev) extras='[dev]' ;;
    *) extras='' ;;
    esac
    rm -f "$stamp"
    "$venv/bin/python" -m pip install -qq --disable-pip-version-check \
        --editable "$1$extras" || {
        code=$?
        echo "pip could not install what the project needs; see its message above" >&2
        return "$code"
    }
    printf '%s\n' "$1" "$project $2" >"$stamp"
}
