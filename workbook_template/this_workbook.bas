Option Explicit

' Code of the workbook itself: a link of ours starts its macro.

Private Sub Workbook_SheetFollowHyperlink(ByVal Sh As Object, ByVal Target As Hyperlink)
    HaymowMacros.FollowLink Target.SubAddress
End Sub

Private Sub Workbook_SheetSelectionChange(ByVal Sh As Object, ByVal Target As Range)
    HaymowMacros.ClearStatus
End Sub
