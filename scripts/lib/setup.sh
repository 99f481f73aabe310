# What each kind of work needs, brought in when it is missing. Sourced after common.sh.

need_rust() {
  have cargo || stop "Platewright is written in Rust: install it with rustup (1.88 or newer), then run this again."
  # rust-toolchain.toml names the compiler that everything was tried with; without it another new enough will do.
  rustc --version >/dev/null 2>&1 && return
  say "The compiler that rust-toolchain.toml names can't be had here; going on with yours."
  export RUSTUP_TOOLCHAIN=stable
  rustc --version >/dev/null 2>&1 || stop "rustc does not run; its own words: $(rustc --version 2>&1 | tail -n 1)"
}

need_node() {
  have npm || stop "The page needs Node.js 20 or newer with npm: install it, then run this again."
  local major
  major=$(node --print 'process.versions.node.split(".")[0]')
  [ "$major" -ge 20 ] || stop "The page needs Node.js 20 or newer; this is $(node --version)."
}

# The page's packages, exactly as the lock file names them.
need_packages() {
  need_node
  local stamp=node_modules/.platewright-lock
  cmp -s package-lock.json "$stamp" && return
  say "Fetching the page's packages …"
  # No package here needs its install script, so none is run.
  npm ci --silent --ignore-scripts || stop "npm ci failed; its words are above. Check the network, then run this again."
  cp package-lock.json "$stamp"
}

# The browser's target for rustc: rustup's, or else Debian's compiler and library sources.
need_wasm_target() {
  need_rust
  local target=wasm32-unknown-unknown
  [ -d "$(rustc --print sysroot)/lib/rustlib/$target/lib" ] && return
  if have rustup; then
    say "Fetching Rust's $target target …"
    timeout 60 rustup target add "$target" >/dev/null 2>&1 && return
  fi
  local debian=(rustc-web cargo-web rust-web-src)
  if ! have dpkg || ! dpkg --status "${debian[@]}" >/dev/null 2>&1; then
    say "rustup could not fetch it; trying Debian's compiler instead."
    apt_install "${debian[@]}" ||
      stop "Rust's $target target is missing and could not be fetched: run 'rustup target add $target' where the network allows it."
  fi
  export PLATEWRIGHT_DEBIAN_RUST=1
}

# Debian's packages that are missing here for these needs: chromium, shell, chromedriver, firefox, webkit, python.
missing_for() {
  local need
  for need in "$@"; do
    case $need in
      chromium) [ -n "$(first_of chromium chromium-browser google-chrome)" ] || echo chromium ;;
      shell) have chromium-headless-shell || echo chromium-headless-shell ;;
      chromedriver) have chromedriver || echo chromium-driver ;;
      firefox) [ -n "$(first_of firefox-esr firefox)" ] || echo firefox-esr ;;
      webkit) have WebKitWebDriver && have Xvfb || printf '%s\n' webkit2gtk-driver xvfb ;;
      python) cmp -s "$PYTHON_WANTS" "$PYTHON_HAS" || python3 -c 'import ensurepip' 2>/dev/null || printf '%s\n' python3 python3-venv ;;
    esac
  done
}

# The first of these programs that is here.
first_of() {
  local name
  for name in "$@"; do
    if command -v "$name"; then return; fi
  done
}

# Brings in what these needs lack, all of it or nothing.
fetch_for() {
  local wanted
  mapfile -t wanted < <(missing_for "$@")
  [ ${#wanted[@]} = 0 ] || apt_install "${wanted[@]}"
}

# The same before anybody asks, and need by need where not all can be had: what is missing then is asked for once more,
# and told of, by who cannot do without.
fetch_ahead() {
  local need
  fetch_for "$@" || for need in "$@"; do fetch_for "$need" || true; done
}

# A browser for the tests. Sets CHROMIUM, and CHROMIUM_SHELL to what tests of pages open.
need_chromium() {
  fetch_for chromium || stop "The page's tests need Chromium: install it (on Debian: apt-get install chromium)."
  CHROMIUM=$(first_of chromium chromium-browser google-chrome)
  export CHROMIUM
  # The same engine without windows, where it can be had: a page opens there in two thirds of the work.
  CHROMIUM_SHELL=$CHROMIUM
  if fetch_for shell; then
    CHROMIUM_SHELL=$(command -v chromium-headless-shell)
  fi
  export CHROMIUM_SHELL
}

# Chromium's driver, where it is or can be had. Sets CHROMEDRIVER, or fails.
need_chromedriver() {
  fetch_for chromedriver || return 1
  CHROMEDRIVER=$(command -v chromedriver)
  export CHROMEDRIVER
}

# Firefox and its driver, where they are or can be had. Sets FIREFOX and GECKODRIVER, or fails.
need_firefox() {
  fetch_for firefox || return 1
  FIREFOX=$(first_of firefox-esr firefox)
  export FIREFOX
  need_geckodriver
}

# No package of Debian's brings it; its makers publish its source as a crate, which is built once into the target folder.
need_geckodriver() {
  local version=0.37.1 tools=$CARGO_TARGET_DIR/tools
  GECKODRIVER=$(command -v geckodriver || printf %s "$tools/bin/geckodriver")
  if [ ! -x "$GECKODRIVER" ]; then
    say "Building Firefox's driver, once (geckodriver $version) …"
    nice -n 15 cargo install --quiet --locked --debug --version "$version" --root "$tools" geckodriver || return 1
  fi
  export GECKODRIVER
}

# WebKit with its driver, and a screen for it, where they are or can be had. Sets WEBKIT_DRIVER, or fails.
need_webkit() {
  fetch_for webkit || return 1
  WEBKIT_DRIVER=$(command -v WebKitWebDriver)
  export WEBKIT_DRIVER
}

# The reference checks' Python, in an environment of its own with pinned packages. Sets PYTHON.
PYTHON_WANTS=tests/reference/requirements.txt PYTHON_HAS=.venv/platewright-requirements
need_python() {
  have python3 || apt_install python3 || stop "The reference checks need Python 3.11 or newer: install python3, then run this again."
  if ! cmp -s "$PYTHON_WANTS" "$PYTHON_HAS"; then
    say "Setting up the reference checks' Python packages …"
    python3 -m venv --clear .venv >/dev/null 2>&1 || { apt_install python3-venv && python3 -m venv --clear .venv; } ||
      stop "Python could not make .venv (on Debian: apt-get install python3-venv)."
    .venv/bin/pip install --quiet --disable-pip-version-check --requirement "$PYTHON_WANTS" ||
      stop "pip could not install $PYTHON_WANTS; its words are above."
    cp "$PYTHON_WANTS" "$PYTHON_HAS"
  fi
  PYTHON=$ROOT/.venv/bin/python
}
