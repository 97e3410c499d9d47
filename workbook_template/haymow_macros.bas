Attribute VB_Name = "HaymowMacros"
Option Explicit

' The macros of Haymow. Each asks Python (the package haymow) for the work; nothing is worked out
' here. This is reviewed text: the workbooks with macros are made from it by make.py.

Private Const OUTCOME As String = "macro_outcome"
Private Const STARTED As String = "Started ..."
Private Const PREFIX As String = "Haymow: "

Public Sub ImportLabReport()
    Dim chosen As Variant
    #If Mac Then
        chosen = Application.GetOpenFilename()
    #Else
        chosen = Application.GetOpenFilename( _
            "Lab reports (*.csv;*.tsv;*.txt;*.xlsx;*.pdf),*.csv;*.tsv;*.txt;*.xlsx;*.pdf", , _
            "Choose a lab report")
    #End If
    If VarType(chosen) = vbBoolean Then Exit Sub
    AskPython "import_lab", CStr(chosen)
End Sub

Public Sub MakePlan()
    AskPython "plan", ""
End Sub

Public Sub LeastCost()
    AskPython "least_cost", ""
End Sub

Public Sub CheckWorkbook()
    AskPython "check", ""
End Sub

Public Sub FeedSheetAndReport()
    AskPython "report", ""
End Sub

Public Sub HelpForFunctions()
    #If Mac Then
        MsgBox "The functions need Excel for Windows.", vbInformation, "Haymow"
    #Else
        DescribeFunctions
        Application.StatusBar = PREFIX & "Insert Function shows them under Haymow."
    #End If
End Sub

Public Sub FollowLink(ByVal place As String)
    ' A link of this workbook was clicked; other links are none of ours.
    Select Case place
        Case "macro_import_lab": ImportLabReport
        Case "macro_plan": MakePlan
        Case "macro_least_cost": LeastCost
        Case "macro_check": CheckWorkbook
        Case "macro_report": FeedSheetAndReport
        Case "macro_help": HelpForFunctions
    End Select
End Sub

Public Function CommandFor(ByVal macro As String, ByVal argument As String) As String
    CommandFor = "from haymow.excel.macros import run; run('" & macro & "', '" & _
        Encoded(argument) & "')"
End Function

Public Function Encoded(ByVal text As String) As String
    ' Four hexadecimal digits a character: no quote, blank or backslash meets a command line.
    Dim place As Long, code As Long
    For place = 1 To Len(text)
        code = AscW(Mid$(text, place, 1))
        If code < 0 Then code = code + 65536
        Encoded = Encoded & Right$("000" & Hex$(code), 4)
    Next place
End Function

Public Sub ClearStatus()
    ' Gives the status bar back to Excel once the user goes on.
    If VarType(Application.StatusBar) = vbString Then
        If Left$(Application.StatusBar, Len(PREFIX)) = PREFIX Then Application.StatusBar = False
    End If
End Sub

Private Sub AskPython(ByVal macro As String, ByVal argument As String)
    Dim cell As Range
    On Error GoTo failed
    Set cell = ThisWorkbook.Names(OUTCOME).RefersToRange.Cells(1, 1)
    cell.Value = STARTED
    Application.StatusBar = PREFIX & "starting Python ..."
    RunPython CommandFor(macro, argument)
    #If Mac Then
        ' There Python goes on by itself and reports when it is done.
    #Else
        If cell.Value = STARTED Then NotAnswered cell
    #End If
    Exit Sub
failed:
    MsgBox "Haymow could not start: " & Err.Description, vbExclamation, "Haymow"
    Application.StatusBar = False
End Sub

Private Sub NotAnswered(ByVal cell As Range)
    Dim words As String
    words = "Python did not answer. Is Python installed, and Haymow in it?" & _
        " 'haymow excel check' in a terminal says what is missing. The workbook" & _
        " itself needs neither: every answer in it is a formula."
    cell.Value = words
    Application.StatusBar = False
    MsgBox words, vbExclamation, "Haymow"
End Sub
