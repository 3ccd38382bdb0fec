@echo off
rem Works out the workbook that stands beside this file, or that is dropped on it.
rem Made by sheetkit for this computer; copy it into any folder of a job.
setlocal DisableDelayedExpansion
chcp 65001 >nul
set "python=@PYTHON@"
set "engine=@ENGINE@"
set "what=%~f1"
if not defined what set "what=%~dp0."
cd /d "%engine%" 2>nul
"%python%" -c "import sheetkit.terminal.cli" >nul 2>nul
if errorlevel 1 goto gone
"%python%" -m sheetkit open "%what%" @WATCH@
goto end
:gone
echo sheetkit is no longer where it was when this file was made:
echo "%python%"
echo Install it again as its README says, then make this file again: sheetkit open --starter
:end
echo.
pause
exit /b
