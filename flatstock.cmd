@echo off
rem Flatstock from this checkout. The first start makes an environment of its own; bootstrap.py says how.
setlocal DisableDelayedExpansion
set "PYTHONHOME="
set "PYTHONPATH="
set "FLATSTOCK_CALLED=%~0"
if defined FLATSTOCK_PYTHON goto chosen
py -3 -c "" >nul 2>nul && goto launcher
python -c "" >nul 2>nul && goto plain
echo flatstock: No Python was found. Install Python 3.11 to 3.14, 64 bit.>&2
exit /b 1
:chosen
"%FLATSTOCK_PYTHON:"=%" "%~dp0bootstrap.py" run %*
exit /b %ERRORLEVEL%
:launcher
py -3 "%~dp0bootstrap.py" run %*
exit /b %ERRORLEVEL%
:plain
python "%~dp0bootstrap.py" run %*
exit /b %ERRORLEVEL%
