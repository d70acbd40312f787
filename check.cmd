@echo off
rem Every check of this checkout: [--python X.Y] [words for pytest]. Makes an environment of its own on first use.
setlocal DisableDelayedExpansion
set "PYTHONHOME="
set "PYTHONPATH="
if defined FLATSTOCK_PYTHON goto chosen
py -3 -c "" >nul 2>nul && goto launcher
python -c "" >nul 2>nul && goto plain
echo check: No Python was found. Install Python 3.11 to 3.14, 64 bit.>&2
exit /b 1
:chosen
"%FLATSTOCK_PYTHON:"=%" "%~dp0bootstrap.py" check %*
exit /b %ERRORLEVEL%
:launcher
py -3 "%~dp0bootstrap.py" check %*
exit /b %ERRORLEVEL%
:plain
python "%~dp0bootstrap.py" check %*
exit /b %ERRORLEVEL%
